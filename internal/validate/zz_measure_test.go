package validate
import ("testing";"os";"fmt";"testing/fstest";"strings";"io/fs";"time";"boltback/internal/ledger";"boltback/internal/edtf";"path")
func TestZZ(t *testing.T){
 m:=fstest.MapFS{}
 base:=os.DirFS("../../records/sample/cars/tern-1500")
 fs.WalkDir(base,".",func(p string,d fs.DirEntry,err error)error{ if d.IsDir(){return nil}; b,_:=fs.ReadFile(base,p); m[p]=&fstest.MapFile{Data:b}; return nil})
 n:=0; for p:=range m{ if strings.HasSuffix(p,".json"){n++}}
 fmt.Println("base records",n)
 // multiply: parts, joints, work, readings
 names:=[]string{}; for p:=range m{ switch path.Dir(p){case "parts","joints","work","readings","papers","concerns":names=append(names,p)}}
 tot:=0
 for k:=0; len(m)<30000; k++{ for _,p:=range names{ b:=m[p].Data; b=[]byte(strings.ReplaceAll(string(b),"\"tag\": \"","\"tag\": \""+fmt.Sprint(k)+"x")); tot+=len(b); m[strings.TrimSuffix(p,".json")+fmt.Sprintf("-k%d.json",k)]=&fstest.MapFile{Data:b}}}
 fmt.Println(len(m),tot/1024)
 t0:=time.Now()
 s,err:=ledger.Load(m); if err!=nil{t.Fatal(err)}
 fmt.Println("load",time.Since(t0)); t0=time.Now()
 t1:=time.Now(); ls:=0; for _,r:=range s.Records(){ ls+=len(r.Leaves())}; fmt.Println("leaves",ls,time.Since(t1))
 step:=func(n string,f func()){t:=time.Now();f();fmt.Println(n,time.Since(t))}
 c:=&checker{s:s,options:Options{On:edtf.NewDay(2026,11,1)}}
 v:=New()
 step("local",func(){v.local(c)}); step("layout",c.layout);step("furn",c.furniture);step("refs",c.references);step("corr",c.corrections);step("dates",c.dates);step("tags",c.tags);step("previews",c.previews);step("auth",c.authority);step("instr",c.instruments);step("tight",c.tightenings);step("numbers",c.numbers)
 fmt.Println(len(c.found))
}
