package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"unicode"
)

// samplePin is the fingerprint of the key that the sample's first commits are signed with.
const samplePin = "SHA256:OOoC9lv+Hha+4hGVnK31gX1nf93vbwKpJMuIEiNF5pI"

// attack is what somebody with the whole folder of a car in his hands does to it, as a shell script, and what a reader must see.
// $TRAP runs into a tripwire; ctrl is "git commit" of everything without a signature.
type attack struct {
	name, script string
	verb         []string // verify with the sample's pin where it is nil
	status       int
	says         string // a regular expression over the whole output
}

// onDay is a check on a day after all work of the sample.
var onDay = []string{"check", "--on", "2026-11-01"}

// attacks are the rows at the level of the whole program; those over signatures, keys, tokens and sign-offs as bytes stand in
// the tables of internal/signoff and internal/attest.
var attacks = []attack{
	{"a program for watching files", `git config core.fsmonitor "$TRAP"`, nil, 0, `In order`},
	{"hooks", `mkdir -p .git/hooks; for h in pre-commit post-checkout post-index-change reference-transaction fsmonitor-watchman; do printf '#!/bin/sh\n%s\n' "$TRAP" > .git/hooks/$h; chmod +x .git/hooks/$h; done`, nil, 0, `In order`},
	{"hooks in another folder", `mkdir .git/h; printf '#!/bin/sh\n%s\n' "$TRAP" > .git/h/post-index-change; chmod +x .git/h/*; git config core.hooksPath .git/h`, nil, 0, `In order`},
	{"settings included from elsewhere", `printf '[core]\n\tfsmonitor = "%s"\n[user]\n\tname = Mallory\n' "$TRAP" > .git/more; git config include.path more`, nil, 0, `In order`},
	{"filters on all files", `git config filter.x.clean "$TRAP"; git config filter.x.smudge "$TRAP"; git config filter.x.process "$TRAP"; mkdir -p .git/info; echo '* filter=x diff=x merge=x' > .git/info/attributes`, nil, 0, `In order`},
	{"a program that judges signatures", `git config gpg.ssh.program "$TRAP"; git config gpg.program "$TRAP"; git config gpg.ssh.allowedSignersFile /dev/null`, nil, 0, `In order`},
	{"programs for showing and fetching", `git config core.pager "$TRAP"; git config diff.external "$TRAP"; git config core.sshCommand "$TRAP"; git config core.editor "$TRAP"; git config credential.helper "!$TRAP"; git config uploadpack.packObjectsHook "$TRAP"`, nil, 0, `In order`},
	{"objects that a remote would be asked for", `git config extensions.partialClone origin; git config remote.origin.url "ext::$TRAP"; git config remote.origin.promisor true`, nil, -1, `.`},
	{"a work tree elsewhere", `git config core.worktree /etc`, nil, -1, `.`},
	{"a setting for large files", `printf '[lfs]\n\turl = http://127.0.0.1:9/\n' > .lfsconfig`, nil, 1, `\.lfsconfig\s+is\s+not\s+as`},
	{"attributes that were softened", `echo '* text=auto filter=x' > .gitattributes`, nil, 1, `\.gitattributes\s+is\s+not\s+as`},
	{"a graft", `mkdir -p .git/info; echo "$(git rev-parse HEAD) $(git rev-parse HEAD~5)" > .git/info/grafts`, nil, 1, `replace\s+references`},
	{"a replace reference", `git replace HEAD~1 HEAD~4`, nil, 1, `replace\s+references`},
	{"a boundary that hides the beginning", `git rev-parse HEAD~4 > .git/shallow`, nil, 1, `cut\s+off`},
	{"a commit graph that nobody signed", `mkdir -p .git/objects/info; printf 'CGPH\1\1\4\0garbage' > .git/objects/info/commit-graph`, nil, 0, `In order`},
	{"an index of nonsense", `printf 'DIRC\0\0\0\2\377\377\377\377' > .git/index`, nil, 3, `boltback: `},
	{"bytes flipped where a pack holds its commits", `p=$(ls .git/objects/pack/*.pack); chmod u+w $p; printf '\377\377\377\377' | dd of=$p bs=1 seek=300 conv=notrunc status=none`, nil, 3, `boltback: `},
	{"a pack cut in half", `p=$(ls .git/objects/pack/*.pack); chmod u+w $p; truncate -s 5000 $p`, nil, 3, `boltback: `},
	{"the index of a pack overwritten", `p=$(ls .git/objects/pack/*.idx); chmod u+w $p; printf '\377tOc\0\0\0\2garbage' > $p`, nil, 3, `boltback: `},
	{"a head outside the repository", `echo 'ref: ../../../../etc/passwd' > .git/HEAD`, nil, -1, `boltback: `},
	{"a branch on what is not here", `git rev-parse --symbolic-full-name HEAD > ../n; mkdir -p .git/refs/heads; echo aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa > .git/$(cat ../n)`, nil, 3, `boltback: `},
	{"objects borrowed from another folder", `mkdir ../lender; mv .git/objects ../lender/objects; mkdir -p .git/objects/info .git/objects/pack; (cd ../lender; pwd) | sed 's,$,/objects,' > .git/objects/info/alternates`, nil, 3, `borrows objects from .*git repack -a -d`},
	{"objects borrowed from a share on the network", `echo '//host.invalid/share/objects' > .git/objects/info/alternates`, nil, 3, `borrows objects from //host`},
	{"objects borrowed, at a check", `echo '//host.invalid/share/objects' > .git/objects/info/alternates`, onDay, 1, `\.git: .* borrows objects from //host\.invalid/share/objects.*\[repository\]\s+if you know that folder, run git repack -a -d`},
	{"escapes where objects are borrowed from", `printf '/x\033[31m\342\200\256y\n' > .git/objects/info/alternates`, nil, 3, `borrows objects from /x`},
	{"Git's folder replaced by a link", `mv .git ../elsewhere; ln -s ../elsewhere .git`, nil, 3, `its \.git is a link`},
	{"Git's folder replaced by a file that points away", `mv .git ../elsewhere; echo "gitdir: $(cd ../elsewhere; pwd)" > .git`, nil, 3, `its \.git points to .*/elsewhere, where this folder is not known`},
	{"a history said to lie in another folder", `mkdir ../lender; cp -r .git/. ../lender; (cd ../lender; pwd) > .git/commondir`, nil, 3, `commondir`},
	{"a link among Git's objects", `mv .git/objects/pack ../pack; ln -s ../../../pack .git/objects/pack`, nil, 3, `escapes`},
	{"a link where a branch is", `git rev-parse HEAD > ../id; git rev-parse --symbolic-full-name HEAD > ../n; b=.git/$(cat ../n); mkdir -p $(dirname $b); rm -f $b; ln -s "$PWD/../id" $b`, nil, 3, `symlink`},
	{"a link where Git's settings are", `mv .git/config ../config; ln -s ../../config .git/config`, nil, 3, `escapes`},
	{"a pipe where Git's settings are", `rm .git/config; mkfifo .git/config`, nil, 3, `no plain file`},
	{"a pipe among the records", `mkfifo parts/pipe.json`, onDay, 1, `parts/pipe\.json`},
	{"a commit graph that hides the beginning", `git commit-graph write --reachable 2>/dev/null; cp -r .git ../whole; git reset -q --hard HEAD~3; git commit-graph write --reachable 2>/dev/null; cp .git/objects/info/commit-graph ../graph; rm -rf .git; mv ../whole .git; chmod u+w .git/objects/info/commit-graph; cp ../graph .git/objects/info/commit-graph; git reset -q --hard`, nil, 0, `In order`},
	{"an index over all packs that is nonsense", `printf 'MIDX\1\1\6\0\0\0\0\1nonsense' > .git/objects/pack/multi-pack-index`, nil, 0, `In order`},
	{"limits softened, at the statement", `sed -i '0,/{/s/{/{ "limits": {"found-parts": 1},/' ledger.json`, []string{"reversal", "--on", "2026-11-01"}, -1, `car at the\s+at least 20 `},
	{"a name of look-alike letters", `printf '{\n  "kind": "part"\n}\n' > "$(printf 'parts/fuel-t\320\260nk.json')"`, onDay, 1, `not read as a record`},
	{"a name composed in another way", `printf '{\n  "kind": "part"\n}\n' > "$(printf 'parts/cafe\314\201.json')"`, onDay, 1, `name-form`},
	{"a submodule of which nothing lies there", `git update-index --add --cacheinfo 160000,$(git rev-parse HEAD),parts/sub; git -c user.name=M -c user.email=m@x.invalid commit -q --no-gpg-sign -m sub; mkdir parts/sub`, onDay, 1, `parts/sub: Git keeps another repository's commit here.*\[submodule\]\s+git rm --cached parts/sub`},
	{"a submodule", `git init -q parts/sub`, onDay, 1, `parts/sub/\.git: another repository stands here.*\[submodule\]`},
	{"a setting for submodules", `printf '[submodule "x"]\n\tpath = parts/x\n\turl = ext::%s\n' "$TRAP" > .gitmodules`, onDay, 1, `\.gitmodules: this file changes how Git treats the records.*\[git-setting\]`},
	{"a setting for large files, at a check", `printf '[lfs]\n\turl = http://127.0.0.1:9/\n' > .lfsconfig`, onDay, 1, `\.lfsconfig: this file changes how Git treats the records.*\[git-setting\]`},
	{"attributes with a filter", `echo '* filter=x' > .gitattributes`, onDay, 1, `\.gitattributes:1:1: this changes how Git treats the records.*\[git-setting\]`},
	{"attributes in a folder", `echo '*.json binary' > parts/.gitattributes`, onDay, 1, `parts/\.gitattributes: this file changes.*\[git-setting\]`},
	{"a link to another record", `ln -s fuel-tank.json parts/second-tank.json`, onDay, 1, `parts/second-tank\.json: a link stands here.*\[link\]\s+put the file itself here`},
	{"a folder of records that is a link out", `mv parts ../parts; ln -s ../parts parts`, onDay, 1, `parts: a link stands here.*\[link\]`},
	{"two names that differ in capitals", `cp parts/fuel-tank.json parts/Fuel-Tank.json`, onDay, 1, `parts/fuel-tank\.json: this name and parts/Fuel-Tank\.json become one name.*\[name-collision\]`},
	{"two names that are one in another form", `cp parts/fuel-tank.json "$(printf 'parts/caf\303\251.json')" && cp parts/fuel-tank.json "$(printf 'parts/cafe\314\201.json')"`, onDay, 1, `composed in a way that other machines compose differently.*\[name-form\]`},
	{"a name with a letter that nobody sees", `cp parts/fuel-tank.json "$(printf 'parts/fuel\342\200\213-tank.json')"`, onDay, 1, `parts/fuel‹U\+200B›-tank\.json: a file with this name is not read as a record.*\[path\]`},
	{"a record in UTF-16", `iconv -f utf-8 -t utf-16 parts/fuel-tank.json > x; mv x parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:1:1: the file is encoded as UTF-16.*\[syntax\]\s+save it as UTF-8`},
	{"a record in Latin-1", `sed -i "$(printf 's/"Fuel tank"/"R\351servoir"/')" parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:3:13: the byte 0xe9 is not UTF-8 text.*\[syntax\]\s+save the file as UTF-8`},
	{"a record behind a byte order mark", `(printf '\357\273\277'; cat parts/fuel-tank.json) > x; mv x parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:1:1: the file begins with a byte order mark.*\[syntax\]`},
	{"half a character", `sed -i 's/"Fuel tank"/"x\\ud800y"/' parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:3:13: \\ud800 is half a character.*\[syntax\]`},
	{"a member twice", `sed -i 's/"kind": "part",/"kind": "part", "kind": "joint",/' parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:2:19: "kind" stands twice.*\[syntax\]`},
	{"something behind the end of a record", `printf '\0{"kind": "joint"}' >> parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:\d+:1: something follows the end of the record.*\[syntax\]`},
	{"a private value moved to another record, at a check", movedDisclosure, []string{"check", "../y/cars/c", "--on", "2026-11-01"}, 0, `disclosure-nowhere`},
	{"a private value moved to another record, shown", movedDisclosure, []string{"show", "../y/cars/c", "air-cleaner", "--private"}, 0, `Value\s+\(withheld\)`},
	{"a swapped preview", `set -- previews/*; cp "$1" "$2"`, nil, 1, `previews/\S+\s+is\s+not\s+as`},
	{"a swapped preview, committed", `set -- previews/*; cp "$1" "$2"; ctrl`, onDay, 1, `previews?`},
	{"limits softened", `sed -i 's/{/{ "limits": {"found-parts": 1},/' ledger.json; ctrl`, nil, 1, `Commits that nobody signed`},
	{"a schema softened", `f=$(ls schema/*/part.json); echo '{}' > $f; ctrl`, nil, 1, `Commits that nobody signed`},
	{"a schema softened, at a check", `f=$(ls schema/*/part.json); echo '{}' > $f; ctrl`, onDay, 0, `schema-copy`},
	{"a key let in without a signature", `k=$(ls people/*/*/key*.json | head -1); cp $k $(dirname $k)/key-new.json; ctrl`, nil, 1, `did\s+not\s+count|one\s+key`},
	{"the list of signers rewritten", `echo 'mallory namespaces="git" ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA' >> allowed_signers; ctrl`, nil, 1, `stock\s+tools\s+are\s+told\s+something\s+else`},
	{"a sign-off taken away", `rm signoffs/*.json; ctrl`, nil, 1, `was\s+removed\s+after\s+it\s+came\s+in`},
	{"a record altered", `sed -i 's/8\.3/9.3/' parts/fuel-tank.json; ctrl`, nil, 1, `Commits that nobody signed`},
	{"a record that is a link out", `ln -s /etc/passwd parts/linked.json`, nil, 1, `parts/linked\.json`},
	{"a cache inside the folder", `mkdir -p .cache/boltback .git/boltback; echo '{"trusted": true}' > .cache/boltback/verified; echo x > .git/boltback/verified`, nil, 1, `\.cache/boltback/verified`},
	{"escapes in a name", `printf '{\n  "kind": "part",\n  "name": "\\u001b[2J\\u202egnp.exe\\u0007"\n}\n' > parts/evil.json`, []string{"list", "part"}, -1, `.`},
	{"escapes in a message and an author", `git -c user.name="$(printf 'M\033[31m\342\200\256x')" -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m "$(printf 'hello\033]0;owned\007 \342\200\256gnp')"`, nil, 1, `Commits that nobody signed`},
	{"escapes in a file's name", `: > "$(printf 'a\033[31m\342\200\256b')"`, nil, 1, `is\s+not\s+as`},
	{"a record a hundred thousand deep", `head -c 100000 /dev/zero | tr '\0' '[' > parts/deep.json`, onDay, 1, `parts/deep\.json:1:`},
	{"a record of a hundred megabytes", `truncate -s 100M parts/huge.json`, onDay, 1, `parts/huge\.json`},
	{"a number of ten million digits by exponent", `printf '{"kind": "part", "count": 1e10000000}\n' > parts/number.json`, onDay, 1, `parts/number\.json:1:`},
	{"a stamp that nobody signed", `id=$( (printf 'object %s\ntype commit\ntag stamp-x\ntagger M <m@x.invalid> 1780000000 +0000\n\n# boltback manifest 1\n# ledger %s\n' $(git rev-parse HEAD) $(git rev-list --max-parents=0 HEAD); echo garbage) | git hash-object -t tag -w --stdin --literally); git update-ref refs/tags/stamp-x $id`, nil, 1, `cannot\s+be\s+read\s+as\s+one`},
	{"a tag that is a tag of a tag", `a=$(printf 'object %s\ntype commit\ntag a\ntagger M <m@x.invalid> 1 +0000\n\nx\n' $(git rev-parse HEAD) | git hash-object -t tag -w --stdin); b=$(printf 'object %s\ntype tag\ntag b\ntagger M <m@x.invalid> 1 +0000\n\nx\n' $a | git hash-object -t tag -w --stdin); git update-ref refs/tags/b $b`, nil, 0, `In order`},
	{"the whole history cut short", `git reset -q --hard HEAD~5`, nil, 0, `newest\s+commits\s+were\s+cut\s+off`},
	{"a commit of the future", `GIT_COMMITTER_DATE='4000000000 +0000' git -c user.name=M -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m x; GIT_COMMITTER_DATE='1000000000 +0000' git -c user.name=M -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m y`, nil, 1, `Dates running backwards`},
	{"a history beside the first merged in", `git -c user.name=M -c user.email=m@x.invalid commit-tree --no-gpg-sign -m r HEAD^{tree} > ../r; id=$(git -c user.name=M -c user.email=m@x.invalid commit-tree --no-gpg-sign -m m -p HEAD -p $(cat ../r) HEAD^{tree}); git reset -q --hard $id`, nil, 1, `begins\s+by\s+itself`},
	{"the signature of one commit on another", `git cat-file commit HEAD~3 > ../c; git cat-file commit HEAD | awk 'FNR==NR{if(/^gpgsig/)s=1; if(s&&!/^$/)g=g $0 "\n"; if(/^$/)s=0; next} /^gpgsig/{printf "%s", g; k=1; next} k&&/^ /{next} {k=0; print}' ../c - > ../d; git reset -q --hard $(git hash-object -t commit -w ../d)`, nil, 1, `bad\s+signature`},
}

// movedDisclosure puts the digest of a value of one part into another, in a yard where the value's file is at hand.
const movedDisclosure = `mkdir -p ../y/cars ../y/private/c; echo '{"workshop": "tallow-lane"}' > ../y/yard.json
id=$(sed -n 's/.*"id": "\([0-9a-f]*\)".*/\1/p' ledger.json)
printf '[\n  "00112233445566778899aabbccddeeff",\n  "%s",\n  "parts/fuel-tank.json",\n  "/value",\n  "900 GBP"\n]\n' $id > ../x
d=$(sha256sum ../x | cut -d' ' -f1); mv ../x ../y/private/c/$d.json
sed -i "s/\"name\": \"Air cleaner\"/\"value\": \"$d\", &/" parts/air-cleaner.json; grep -q $d parts/air-cleaner.json; cp -r . ../y/cars/c`

const attackSetup = `set -e
ctrl() { git -c user.name=Mallory -c user.email=mallory@x.invalid -c core.hooksPath=/dev/null add -A; git -c user.name=Mallory -c user.email=mallory@x.invalid -c core.hooksPath=/dev/null commit -q --no-gpg-sign -m 'a small thing'; }
`

// TestAHostileFolderIsSeenForWhatItIsAndRunsNothing plays the rows. Beside the verdict no tripwire may have gone off, nothing may be
// printed that a terminal obeys, and no row may end as a fault of the program.
func TestAHostileFolderIsSeenForWhatItIsAndRunsNothing(t *testing.T) {
	first := filepath.Join(t.TempDir(), "yard")
	if _, err := world().App.Demo(context.Background(), first); err != nil {
		t.Fatal(err)
	}
	if err := pack(first); err != nil {
		t.Fatal(err)
	}
	for _, a := range attacks {
		t.Run(a.name, func(t *testing.T) {
			t.Parallel()
			home := t.TempDir()
			car, trap := filepath.Join(home, "car"), filepath.Join(home, "trap")
			if err := os.CopyFS(car, os.DirFS(filepath.Join(first, "cars", "tern-1500"))); err != nil {
				t.Fatal(err)
			}
			env := append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "TRAP=touch "+trap, "TZ=UTC", "GIT_CONFIG_NOSYSTEM=1")
			if out, status := shell(t, car, env, "sh", "-c", attackSetup+a.script); status != 0 {
				t.Fatalf("the attack itself failed: %d\n%s", status, out)
			}
			if err := os.RemoveAll(trap); err != nil {
				t.Fatal(err)
			}
			verb := a.verb
			if verb == nil {
				verb = []string{"verify", "--pin", samplePin}
			}
			out, status := shell(t, car, env, built, verb...)
			if a.status >= 0 && status != a.status || status == 70 {
				t.Errorf("exit status %d, want %d\n%s", status, a.status, out)
			}
			if !regexp.MustCompile(a.says).MatchString(out) {
				t.Errorf("it does not say %q:\n%s", a.says, out)
			}
			if i := strings.IndexFunc(out, obeyed); i >= 0 {
				t.Errorf("it prints what a terminal obeys: %q", out[i:min(len(out), i+20)])
			}
			if _, err := os.Lstat(trap); err == nil {
				t.Error("the tripwire went off")
			}
		})
	}
}

// TestReadingAHostileFolderStartsNothingOpensNothingElseAndAsksNobody watches the calls to the system while verify and check
// read a folder that has every setting against them.
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
	for _, a := range attacks[:7] {
		if out, status := shell(t, car, env, "sh", "-c", attackSetup+a.script); status != 0 {
			t.Fatalf("%s: %d\n%s", a.name, status, out)
		}
	}
	for _, verb := range []string{"verify", "check"} {
		log := filepath.Join(home, "calls")
		out, status := shell(t, car, env, "strace", "-f", "--seccomp-bpf", "-e", "trace=execve,execveat,%network,openat,open,openat2", "-o", log, built, verb)
		if status > 1 {
			t.Fatalf("%s: %d\n%s", verb, status, out)
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
					t.Errorf("%s starts %s", verb, path)
				}
			case !strings.HasPrefix(name, "open"):
				t.Errorf("%s asks the network: %s", verb, call[0])
			case path == car || strings.HasPrefix(path, car+"/"):
				seen++
			case filepath.IsAbs(path) && !ofTheSystem(path, car):
				t.Errorf("%s opens %s", verb, path)
			}
		}
		if seen == 0 {
			t.Errorf("%s: no opened file was seen, so nothing was watched", verb)
		}
	}
}

// callForm finds the name of a call and the first path in it.
var callForm = regexp.MustCompile(`(?m)^\d+ +([a-z0-9_]+)\((?:[^"\n]*"([^"\n]*)")?`)

// ofTheSystem allows what every program opens to run at all, the reader's own configuration, and the folders above a car, in which
// a yard is looked for.
func ofTheSystem(path, car string) bool {
	for _, top := range []string{"/proc/", "/sys/", "/lib", "/usr/lib", "/dev/null", "/etc/ld.so", "/etc/localtime", "/usr/share/zoneinfo", built, filepath.Join(filepath.Dir(car), "boltback")} {
		if strings.HasPrefix(path, top) {
			return true
		}
	}
	path = strings.TrimSuffix(path, "/yard.json")
	return path == car || path == "/" || strings.HasPrefix(car, strings.TrimSuffix(path, "/")+"/")
}

// obeyed tells control characters, and marks that turn the direction of writing, from text.
func obeyed(r rune) bool {
	return unicode.IsControl(r) && r != '\n' || unicode.In(r, unicode.Bidi_Control)
}

func shell(t *testing.T, dir string, env []string, name string, args ...string) (string, int) {
	t.Helper()
	run := exec.Command(name, args...)
	run.Dir, run.Env = dir, env
	out, err := run.CombinedOutput()
	if run.ProcessState == nil {
		t.Fatal(err)
	}
	return string(out), run.ProcessState.ExitCode()
}
