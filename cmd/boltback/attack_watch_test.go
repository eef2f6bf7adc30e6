package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// watched are the verbs that read a car, as they are called in its folder while the calls to the system are watched.
var watched = []words{
	"verify", "check", "check|--deep|--on|2026-11-01", "list", "show|car", "where|0147", "state", "stale", "due", "stock-take", "reversal", "wording", "workings",
	"requirements", "assess", "paperwork|--for|heritage|--format|text", "history", "diff|HEAD~12|HEAD", "keys", "export|--as|jsonl",
	"dossier|--out|$OUT.html", "sheet|strip-down|--out|$OUT.pdf", "handover|.|$OUT-bag.zip|--copy|--to|the next keeper", "schema|part",
	"labels|part|--out|$OUT-tags.pdf",
}

// unwatched are the verbs that no row calls, with the reason.
var unwatched = map[string]string{
	"record": "it writes", "inbox": "it writes", "init": "it writes, and reads no car", "intake": "it writes, and reads no car", "commit": "it writes", "correct": "it writes",
	"withdraw": "it writes", "rename": "it writes", "sign": "it writes", "demo": "it writes, and reads no car", "completion": "it lists what list does",
	"stamp":   "it prints what it wrote before, and verify reads that",
	"receive": "a bag is read as a stream; TestHooksAndConfigurationDoNotComeAlong", "bag": "it reads a bag, and no repository",
}

func TestEveryVerbIsWatchedOrHasAReason(t *testing.T) {
	called := map[string]bool{}
	for _, w := range watched {
		verb, _, _ := strings.Cut(string(w), "|")
		called[verb] = true
	}
	for _, verb := range everyVerb(t) {
		if called[verb] == (unwatched[verb] != "") {
			t.Errorf("%s is both watched and excused, or neither", verb)
		}
	}
}

// TestReadingAHostileFolderStartsNothingOpensNothingElseAndAsksNobody watches the calls to the system while each verb reads a folder
// that has every setting against it. No verb may end as a fault of the program.
func TestReadingAHostileFolderStartsNothingOpensNothingElseAndAsksNobody(t *testing.T) {
	if _, err := exec.LookPath("strace"); err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("strace is needed where CI is set: ", err)
		}
		t.Log("strace is not here: only the tripwires watch")
		return
	}
	if out, status := shell(t, ".", os.Environ(), "strace", "-f", "--seccomp-bpf", "-o", os.DevNull, "true"); status != 0 {
		t.Logf("this machine lets no program be watched, so only the tripwires watch: %s", out)
		return
	}
	home := t.TempDir()
	if _, err := world().App.Demo(context.Background(), filepath.Join(home, "yard")); err != nil {
		t.Fatal(err)
	}
	car := filepath.Join(home, "car")
	if err := os.Rename(filepath.Join(home, "yard", "cars", "tern-1500"), car); err != nil {
		t.Fatal(err)
	}
	env := append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "TRAP=touch "+filepath.Join(home, "trap"), "TZ=UTC", "GIT_CONFIG_NOSYSTEM=1", "BOLTBACK_CACHE=off")
	for _, a := range attacks {
		settings := slices.Contains([]string{"hooks", "filters", "configuration includes", "core.fsmonitor and the like"}, a.kind)
		if !settings || a.status != 0 { // a folder that is refused would not be read
			continue
		}
		if out, status := shell(t, car, env, "sh", "-c", attackSetup+a.script); status != 0 {
			t.Fatalf("%s: %d\n%s", a.name, status, out)
		}
	}
	if err := os.Mkdir(filepath.Join(home, "boltback"), 0o755); err != nil {
		t.Fatal(err)
	}
	for i, w := range watched {
		t.Run(string(w), func(t *testing.T) {
			t.Parallel()
			out := filepath.Join(home, "boltback", "out"+string(rune('a'+i)))
			watchVerb(t, car, env, strings.Split(strings.ReplaceAll(string(w), "$OUT", out), "|"))
		})
	}
}

// watchVerb runs one verb and goes through its calls.
func watchVerb(t *testing.T, car string, env, verb []string) {
	t.Helper()
	log := filepath.Join(t.TempDir(), "calls")
	out, status := shell(t, car, env, "strace", append([]string{"-f", "--seccomp-bpf", "-e", "trace=execve,execveat,%network,openat,open,openat2", "-o", log, built}, verb...)...)
	if status > 1 {
		t.Fatalf("%d\n%s", status, out)
	}
	calls, err := os.ReadFile(log)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, call := range callForm.FindAllStringSubmatch(string(calls), -1) {
		switch name, path := call[1], call[2]; {
		case strings.HasPrefix(name, "exec"):
			if path != built {
				t.Errorf("it starts %s", path)
			}
		case !strings.HasPrefix(name, "open"):
			t.Errorf("it asks the network: %s", call[0])
		case path == car || strings.HasPrefix(path, car+"/"):
			seen++
		case filepath.IsAbs(path) && !ofTheSystem(path, car), !filepath.IsAbs(path) && path != "" && !filepath.IsLocal(path):
			t.Errorf("it opens %s", path)
		}
	}
	if knowsNoCar := []string{"requirements", "schema", "labels"}; seen == 0 && !slices.Contains(knowsNoCar, verb[0]) {
		t.Error("no opened file was seen, so nothing was watched")
	}
}

// callForm finds the name of a call and the first path in it.
var callForm = regexp.MustCompile(`(?m)^\d+ +([a-z0-9_]+)\((?:[^"\n]*"([^"\n]*)")?`)

// ofTheSystem allows what every program opens to run at all, the reader's own configuration, what he asked to have written, the
// folders above a car, in which a yard is looked for.
func ofTheSystem(path, car string) bool {
	for _, top := range []string{"/proc/", "/sys/", "/lib", "/usr/lib", "/dev/null", "/etc/ld.so", "/etc/localtime", "/usr/share/zoneinfo", built, filepath.Join(filepath.Dir(car), "boltback")} {
		if strings.HasPrefix(path, top) {
			return true
		}
	}
	path = strings.TrimSuffix(path, "/yard.json")
	return path == car || path == "/" || strings.HasPrefix(car, strings.TrimSuffix(path, "/")+"/")
}
