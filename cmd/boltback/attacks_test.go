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
// $TRAP runs into a tripwire; ctrl is "git commit" of everything without a signature; ../keys is allowed_signers as it was before.
type attack struct {
	kind, name, script string
	verb               []string // verify with the sample's pin where it is nil
	status             int      // -1 where any but a fault of the program will do
	says               string   // a regular expression over the whole output
	stock              string   // the command of stock Git that finds fault with it, as we do, or, if trapped, that runs into it; "" where none does
}

// What stock Git is asked. Where it finds fault and a row has the status 0, our verb reads nothing of what it objects to.
const (
	fsck            = "git fsck --full"
	commitSignature = `git -c gpg.ssh.allowedSignersFile="$PWD/../keys" verify-commit HEAD`
	folderSeen      = `test -z "$(git status --porcelain)"`
	trapped         = "git status --porcelain"
)

// onDay is a check on a day after all work of the sample.
var onDay = []string{"check", "--on", "2026-11-01"}

// attacks are the rows at the level of the whole program. The others are those of the tests that shownElsewhere names: over
// signatures, keys, tokens and sign-offs as bytes, over histories in memory, over packs.
var attacks = []attack{
	{"core.fsmonitor and the like", "a program for watching files", `git config core.fsmonitor "$TRAP"`, nil, 0, `In order`, trapped},
	{"hooks", "hooks", `mkdir -p .git/hooks; for h in pre-commit post-checkout post-index-change reference-transaction fsmonitor-watchman; do printf '#!/bin/sh\n%s\n' "$TRAP" > .git/hooks/$h; chmod +x .git/hooks/$h; done`, nil, 0, `In order`, ""},
	{"hooks", "hooks in another folder", `mkdir .git/h; printf '#!/bin/sh\n%s\n' "$TRAP" > .git/h/post-index-change; chmod +x .git/h/*; git config core.hooksPath .git/h`, nil, 0, `In order`, ""},
	{"configuration includes", "settings included from elsewhere", `printf '[core]\n\tfsmonitor = "%s"\n[user]\n\tname = Mallory\n' "$TRAP" > .git/more; git config include.path more`, nil, 0, `In order`, trapped},
	{"filters", "filters on all files", `git config filter.x.clean "$TRAP"; git config filter.x.smudge "$TRAP"; git config filter.x.process "$TRAP"; mkdir -p .git/info; echo '* filter=x diff=x merge=x' > .git/info/attributes`, nil, 0, `In order`, ""},
	{"core.fsmonitor and the like", "a program that judges signatures", `git config gpg.ssh.program "$TRAP"; git config gpg.program "$TRAP"; git config gpg.ssh.allowedSignersFile /dev/null`, nil, 0, `In order`, ""},
	{"core.fsmonitor and the like", "programs for showing and fetching", `git config core.pager "$TRAP"; git config diff.external "$TRAP"; git config core.sshCommand "$TRAP"; git config core.editor "$TRAP"; git config credential.helper "!$TRAP"; git config uploadpack.packObjectsHook "$TRAP"`, nil, 0, `In order`, ""},
	{"core.fsmonitor and the like", "objects that a remote would be asked for", `git config extensions.partialClone origin; git config remote.origin.url "ext::$TRAP"; git config remote.origin.promisor true`, nil, -1, `.`, ""},
	{"core.fsmonitor and the like", "a work tree elsewhere", `git config core.worktree /etc`, nil, -1, `.`, ""},
	{".lfsconfig", "a setting for large files", `printf '[lfs]\n\turl = http://127.0.0.1:9/\n' > .lfsconfig`, nil, 1, `\.lfsconfig\s+is\s+not\s+as`, folderSeen},
	{"filters", "attributes that were softened", `echo '* text=auto filter=x' > .gitattributes`, nil, 1, `\.gitattributes\s+is\s+not\s+as`, folderSeen},
	{"grafts", "a graft", `mkdir -p .git/info; echo "$(git rev-parse HEAD) $(git rev-parse HEAD~5)" > .git/info/grafts`, nil, 1, `replace\s+references`, fsck},
	{"replace references", "a replace reference", `git replace HEAD~1 HEAD~4`, nil, 1, `replace\s+references`, ""},
	{"truncated history", "a boundary that hides the beginning", `git rev-parse HEAD~4 > .git/shallow`, nil, 1, `cut\s+off`, ""},
	{"crafted objects", "a commit graph that nobody signed", `mkdir -p .git/objects/info; printf 'CGPH\1\1\4\0garbage' > .git/objects/info/commit-graph`, nil, 0, `In order`, ""},
	{"crafted index of Git", "an index of nonsense", `printf 'DIRC\0\0\0\2\377\377\377\377' > .git/index`, nil, 3, `boltback: `, fsck},
	{"crafted packs", "bytes flipped where a pack holds its commits", `p=$(ls .git/objects/pack/*.pack); chmod u+w $p; printf '\377\377\377\377' | dd of=$p bs=1 seek=300 conv=notrunc status=none`, nil, 3, `boltback: `, fsck},
	{"crafted packs", "a pack cut in half", `p=$(ls .git/objects/pack/*.pack); chmod u+w $p; truncate -s 5000 $p`, nil, 3, `boltback: `, fsck},
	{"crafted index of a pack", "the index of a pack overwritten", `p=$(ls .git/objects/pack/*.idx); chmod u+w $p; printf '\377tOc\0\0\0\2garbage' > $p`, nil, 3, `boltback: `, fsck},
	{"configuration that leads elsewhere", "a head outside the repository", `echo 'ref: ../../../../etc/passwd' > .git/HEAD`, nil, -1, `boltback: `, fsck},
	{"crafted objects", "a branch on what is not here", `git rev-parse --symbolic-full-name HEAD > ../n; mkdir -p .git/refs/heads; echo aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa > .git/$(cat ../n)`, nil, 3, `boltback: `, fsck},
	{"alternates", "objects borrowed from another folder", `mkdir ../lender; mv .git/objects ../lender/objects; mkdir -p .git/objects/info .git/objects/pack; (cd ../lender; pwd) | sed 's,$,/objects,' > .git/objects/info/alternates`, nil, 3, `borrows objects from .*git repack -a -d`, ""},
	{"alternates", "objects borrowed from a share on the network", `echo '//host.invalid/share/objects' > .git/objects/info/alternates`, nil, 3, `borrows objects from //host`, ""},
	{"alternates", "objects borrowed, at a check", `echo '//host.invalid/share/objects' > .git/objects/info/alternates`, onDay, 1, `\.git: .* borrows objects from //host\.invalid/share/objects.*\[repository\]\s+if you know that folder, run git repack -a -d`, ""},
	{"alternates", "escapes where objects are borrowed from", `printf '/x\033[31m\342\200\256y\n' > .git/objects/info/alternates`, nil, 3, `borrows objects from /x`, ""},
	{"configuration that leads elsewhere", "Git's folder replaced by a link", `mv .git ../elsewhere; ln -s ../elsewhere .git`, nil, 3, `its \.git is a link`, ""},
	{"configuration that leads elsewhere", "Git's folder replaced by a file that points away", `mv .git ../elsewhere; echo "gitdir: $(cd ../elsewhere; pwd)" > .git`, nil, 3, `its \.git points to .*/elsewhere, where this folder is not known`, ""},
	{"configuration that leads elsewhere", "a history said to lie in another folder", `mkdir ../lender; cp -r .git/. ../lender; (cd ../lender; pwd) > .git/commondir`, nil, 3, `commondir`, ""},
	{"configuration that leads elsewhere", "a link among Git's objects", `mv .git/objects/pack ../pack; ln -s ../../../pack .git/objects/pack`, nil, 3, `escapes`, ""},
	{"configuration that leads elsewhere", "a link where a branch is", `git rev-parse HEAD > ../id; git rev-parse --symbolic-full-name HEAD > ../n; b=.git/$(cat ../n); mkdir -p $(dirname $b); rm -f $b; ln -s "$PWD/../id" $b`, nil, 3, `symlink`, ""},
	{"configuration that leads elsewhere", "a link where Git's settings are", `mv .git/config ../config; ln -s ../../config .git/config`, nil, 3, `escapes`, ""},
	{"configuration that leads elsewhere", "a pipe where Git's settings are", `rm .git/config; mkfifo .git/config`, nil, 3, `no plain file`, ""},
	{"huge everything", "a pipe among the records", `mkfifo parts/pipe.json`, onDay, 1, `parts/pipe\.json`, ""},
	{"truncated history", "a commit graph that hides the beginning", `git commit-graph write --reachable 2>/dev/null; cp -r .git ../whole; git reset -q --hard HEAD~3; git commit-graph write --reachable 2>/dev/null; cp .git/objects/info/commit-graph ../graph; rm -rf .git; mv ../whole .git; chmod u+w .git/objects/info/commit-graph; cp ../graph .git/objects/info/commit-graph; git reset -q --hard`, nil, 0, `In order`, ""},
	{"crafted index of a pack", "an index over all packs that is nonsense", `printf 'MIDX\1\1\6\0\0\0\0\1nonsense' > .git/objects/pack/multi-pack-index`, nil, 0, `In order`, ""},
	{"limits softened", "limits softened, at the statement", `sed -i '0,/{/s/{/{ "limits": {"found-parts": 1},/' ledger.json`, []string{"reversal", "--on", "2026-11-01"}, -1, `car at the\s+at least 20 `, folderSeen},
	{"look-alike names", "a name of look-alike letters", `printf '{\n  "kind": "part"\n}\n' > "$(printf 'parts/fuel-t\320\260nk.json')"`, onDay, 1, `not read as a record`, folderSeen},
	{"names not in normal form", "a name composed in another way", `printf '{\n  "kind": "part"\n}\n' > "$(printf 'parts/cafe\314\201.json')"`, onDay, 1, `name-form`, folderSeen},
	{"configuration that leads elsewhere", "a submodule of which nothing lies there", `git update-index --add --cacheinfo 160000,$(git rev-parse HEAD),parts/sub; git -c user.name=M -c user.email=m@x.invalid commit -q --no-gpg-sign -m sub; mkdir parts/sub`, onDay, 1, `parts/sub: Git keeps another repository's commit here.*\[submodule\]\s+git rm --cached parts/sub`, ""},
	{"configuration that leads elsewhere", "a submodule", `git init -q parts/sub`, onDay, 1, `parts/sub/\.git: another repository stands here.*\[submodule\]`, folderSeen},
	{"configuration that leads elsewhere", "a setting for submodules", `printf '[submodule "x"]\n\tpath = parts/x\n\turl = ext::%s\n' "$TRAP" > .gitmodules`, onDay, 1, `\.gitmodules: this file changes how Git treats the records.*\[git-setting\]`, folderSeen},
	{".lfsconfig", "a setting for large files, at a check", `printf '[lfs]\n\turl = http://127.0.0.1:9/\n' > .lfsconfig`, onDay, 1, `\.lfsconfig: this file changes how Git treats the records.*\[git-setting\]`, folderSeen},
	{"filters", "attributes with a filter", `echo '* filter=x' > .gitattributes`, onDay, 1, `\.gitattributes:1:1: this changes how Git treats the records.*\[git-setting\]`, folderSeen},
	{"filters", "attributes in a folder", `echo '*.json binary' > parts/.gitattributes`, onDay, 1, `parts/\.gitattributes: this file changes.*\[git-setting\]`, folderSeen},
	{"configuration that leads elsewhere", "a link to another record", `ln -s fuel-tank.json parts/second-tank.json`, onDay, 1, `parts/second-tank\.json: a link stands here.*\[link\]\s+put the file itself here`, folderSeen},
	{"configuration that leads elsewhere", "a folder of records that is a link out", `mv parts ../parts; ln -s ../parts parts`, onDay, 1, `parts: a link stands here.*\[link\]`, folderSeen},
	{"look-alike names", "two names that differ in capitals", `cp parts/fuel-tank.json parts/Fuel-Tank.json`, onDay, 1, `parts/fuel-tank\.json: this name and parts/Fuel-Tank\.json become one name.*\[name-collision\]`, folderSeen},
	{"names not in normal form", "two names that are one in another form", `cp parts/fuel-tank.json "$(printf 'parts/caf\303\251.json')" && cp parts/fuel-tank.json "$(printf 'parts/cafe\314\201.json')"`, onDay, 1, `composed in a way that other machines compose differently.*\[name-form\]`, folderSeen},
	{"look-alike names", "a name with a letter that nobody sees", `cp parts/fuel-tank.json "$(printf 'parts/fuel\342\200\213-tank.json')"`, onDay, 1, `parts/fuel‹U\+200B›-tank\.json: a file with this name is not read as a record.*\[path\]`, folderSeen},
	{"crafted records", "a record in UTF-16", `iconv -f utf-8 -t utf-16 parts/fuel-tank.json > x; mv x parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:1:1: the file is encoded as UTF-16.*\[syntax\]\s+save it as UTF-8`, folderSeen},
	{"crafted records", "a record in Latin-1", `sed -i "$(printf 's/"Fuel tank"/"R\351servoir"/')" parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:3:13: the byte 0xe9 is not UTF-8 text.*\[syntax\]\s+save the file as UTF-8`, folderSeen},
	{"crafted records", "a record behind a byte order mark", `(printf '\357\273\277'; cat parts/fuel-tank.json) > x; mv x parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:1:1: the file begins with a byte order mark.*\[syntax\]`, folderSeen},
	{"crafted records", "half a character", `sed -i 's/"Fuel tank"/"x\\ud800y"/' parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:3:13: \\ud800 is half a character.*\[syntax\]`, folderSeen},
	{"duplicate keys", "a member twice", `sed -i 's/"kind": "part",/"kind": "part", "kind": "joint",/' parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:2:19: "kind" stands twice.*\[syntax\]`, folderSeen},
	{"crafted records", "something behind the end of a record", `printf '\0{"kind": "joint"}' >> parts/fuel-tank.json`, onDay, 1, `parts/fuel-tank\.json:\d+:1: something follows the end of the record.*\[syntax\]`, folderSeen},
	{"a disclosure moved to another field", "a private value moved to another record, at a check", movedDisclosure, []string{"check", "../y/cars/c", "--on", "2026-11-01"}, 0, `disclosure-nowhere`, folderSeen},
	{"a disclosure moved to another field", "a private value moved to another record, shown", movedDisclosure, []string{"show", "../y/cars/c", "air-cleaner", "--private"}, 0, `Value\s+\(withheld\)`, folderSeen},
	{"a swapped preview", "a swapped preview", `set -- previews/*; cp "$1" "$2"`, nil, 1, `previews/\S+\s+is\s+not\s+as`, folderSeen},
	{"a swapped preview", "a swapped preview, committed", `set -- previews/*; cp "$1" "$2"; ctrl`, onDay, 1, `previews?`, commitSignature},
	{"limits softened", "limits softened", `sed -i 's/{/{ "limits": {"found-parts": 1},/' ledger.json; ctrl`, nil, 1, `Commits that nobody signed`, commitSignature},
	{"schema softened", "a schema softened", `f=$(ls schema/*/part.json); echo '{}' > $f; ctrl`, nil, 1, `Commits that nobody signed`, commitSignature},
	{"schema softened", "a schema softened, at a check", `f=$(ls schema/*/part.json); echo '{}' > $f; ctrl`, onDay, 0, `schema-copy`, ""},
	{"trust root from the head under check", "a key let in without a signature", `k=$(ls people/*/*/key*.json | head -1); cp $k $(dirname $k)/key-new.json; ctrl`, nil, 1, `did\s+not\s+count|one\s+key`, commitSignature},
	{"tricks in allowed_signers", "the list of signers rewritten", `echo 'mallory namespaces="git" ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA' >> allowed_signers; ctrl`, nil, 1, `stock\s+tools\s+are\s+told\s+something\s+else`, commitSignature},
	{"a stripped signature", "a sign-off taken away", `rm signoffs/*.json; ctrl`, nil, 1, `was\s+removed\s+after\s+it\s+came\s+in`, commitSignature},
	{"flipped bits in records", "a record altered", `sed -i 's/8\.3/9.3/' parts/fuel-tank.json; ctrl`, nil, 1, `Commits that nobody signed`, commitSignature},
	{"configuration that leads elsewhere", "a record that is a link out", `ln -s /etc/passwd parts/linked.json`, nil, 1, `parts/linked\.json`, folderSeen},
	{"a cache inside a received folder", "a cache inside the folder", `mkdir -p .cache/boltback .git/boltback; echo '{"trusted": true}' > .cache/boltback/verified; echo x > .git/boltback/verified`, nil, 1, `\.cache/boltback/verified`, folderSeen},
	{"terminal escapes in names", "escapes in a name", `printf '{\n  "kind": "part",\n  "name": "\\u001b[2J\\u202egnp.exe\\u0007"\n}\n' > parts/evil.json`, []string{"list", "part"}, -1, `.`, folderSeen},
	{"terminal escapes in messages", "escapes in a message and an author", `git -c user.name="$(printf 'M\033[31m\342\200\256x')" -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m "$(printf 'hello\033]0;owned\007 \342\200\256gnp')"`, nil, 1, `Commits that nobody signed`, commitSignature},
	{"terminal escapes in names", "escapes in a file's name", `: > "$(printf 'a\033[31m\342\200\256b')"`, nil, 1, `is\s+not\s+as`, folderSeen},
	{"deep everything", "a record a hundred thousand deep", `head -c 100000 /dev/zero | tr '\0' '[' > parts/deep.json`, onDay, 1, `parts/deep\.json:1:`, folderSeen},
	{"huge everything", "a record of a hundred megabytes", `truncate -s 100M parts/huge.json`, onDay, 1, `parts/huge\.json`, folderSeen},
	{"huge everything", "a number of ten million digits by exponent", `printf '{"kind": "part", "count": 1e10000000}\n' > parts/number.json`, onDay, 1, `parts/number\.json:1:`, folderSeen},
	{"tokens and stamps", "a stamp that nobody signed", `id=$( (printf 'object %s\ntype commit\ntag stamp-x\ntagger M <m@x.invalid> 1780000000 +0000\n\n# boltback manifest 1\n# ledger %s\n' $(git rev-parse HEAD) $(git rev-list --max-parents=0 HEAD); echo garbage) | git hash-object -t tag -w --stdin --literally); git update-ref refs/tags/stamp-x $id`, nil, 1, `cannot\s+be\s+read\s+as\s+one`, ""},
	{"crafted objects", "a tag that is a tag of a tag", `a=$(printf 'object %s\ntype commit\ntag a\ntagger M <m@x.invalid> 1 +0000\n\nx\n' $(git rev-parse HEAD) | git hash-object -t tag -w --stdin); b=$(printf 'object %s\ntype tag\ntag b\ntagger M <m@x.invalid> 1 +0000\n\nx\n' $a | git hash-object -t tag -w --stdin); git update-ref refs/tags/b $b`, nil, 0, `In order`, ""},
	{"truncated history", "the whole history cut short", `git reset -q --hard HEAD~5`, nil, 0, `newest\s+commits\s+were\s+cut\s+off`, ""},
	{"backdated commits", "a commit of the future", `GIT_COMMITTER_DATE='4000000000 +0000' git -c user.name=M -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m x; GIT_COMMITTER_DATE='1000000000 +0000' git -c user.name=M -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m y`, nil, 1, `Dates running backwards`, commitSignature},
	{"truncated history", "a history beside the first merged in", `git -c user.name=M -c user.email=m@x.invalid commit-tree --no-gpg-sign -m r HEAD^{tree} > ../r; id=$(git -c user.name=M -c user.email=m@x.invalid commit-tree --no-gpg-sign -m m -p HEAD -p $(cat ../r) HEAD^{tree}); git reset -q --hard $id`, nil, 1, `begins\s+by\s+itself`, commitSignature},
	{"a swapped signature", "the signature of one commit on another", `git cat-file commit HEAD~3 > ../c; git cat-file commit HEAD | awk 'FNR==NR{if(/^gpgsig/)s=1; if(s&&!/^$/)g=g $0 "\n"; if(/^$/)s=0; next} /^gpgsig/{printf "%s", g; k=1; next} k&&/^ /{next} {k=0; print}' ../c - > ../d; git reset -q --hard $(git hash-object -t commit -w ../d)`, nil, 1, `bad\s+signature`, commitSignature},
	{"crafted deltas", "a commit that differs from itself", `cp "$PACKS"/pack--itself.* .git/objects/pack/`, nil, 3, `a\s+chain\s+of\s+differences\s+without\s+end`, ""}, // git fsck may never end over it
	{"crafted deltas", "a commit that differs from its own place in the pack", `cp "$PACKS"/pack--place.* .git/objects/pack/`, nil, 3, `differs\s+from\s+an\s+object\s+outside\s+the\s+pack`, fsck},
	{"crafted deltas", "two commits that differ from each other", `cp "$PACKS"/pack--two.* .git/objects/pack/`, nil, 3, `a\s+chain\s+of\s+differences\s+without\s+end`, ""}, // git fsck never ends over it
	{"crafted deltas", "a commit at the end of five thousand differences", `cp "$PACKS"/pack--chain.* .git/objects/pack/`, nil, 3, `a\s+chain\s+of\s+differences\s+without\s+end`, ""},
	{"truncated history", "the whole history cut short, held against what was kept", keptFile + `git reset -q --hard HEAD~5`, againstKept, 1, `Not\s+contained`, ""},
	{"truncated history", "the last commit made anew, held against what was kept", keptFile + `git -c user.name=M -c user.email=m@x.invalid commit -q --amend --no-gpg-sign -m x`, againstKept, 1, `Not\s+contained`, commitSignature},
	{"requirement set softened", "a limit of a requirement set softened", softerSet + `; ctrl`, nil, 1, `Commits that nobody signed`, commitSignature},
	{"requirement set softened", "a limit of a requirement set softened, at the assessment", softerSet, []string{"assess", "--for", "technical-baseline", "--on", "2026-11-01"}, -1, `pins\s+its\s+own\s+copy`, folderSeen},
	{"a record relabelled as another car", "a sign-off of another car laid into this one", `cp "$YARD"/cars/courser/signoffs/* signoffs/; ctrl`, nil, 1, `bears\s+none\s+of\s+the\s+numbers\s+that\s+were\s+signed`, commitSignature},
	{"a ledger relabelled as another car", "the numbers of the car rewritten", `sed -i 's/"raw": "[^"]*"/"raw": "XX 00001 X"/' car.json; ctrl`, nil, 1, `Commits that nobody signed`, commitSignature},
	{"bidi controls in names", "a name that turns the direction of writing", `: > "$(printf 'parts/a\342\200\256nosj.json')"`, onDay, 1, `parts/a`, folderSeen},
	{"bidi controls in messages", "a message that turns the direction of writing", `git -c user.name=M -c user.email=m@x.invalid commit -q --allow-empty --no-gpg-sign -m "$(printf 'paid \342\200\256 dnuof')"`, nil, 1, `Commits that nobody signed`, commitSignature},
}

// keptFile writes down what somebody keeps who has the records of a dossier, and againstKept holds the history against that.
const keptFile = `printf '{"edition": "1", "commit": "%s", "records": []}' $(git rev-parse HEAD) > ../kept; `

var againstKept = []string{"verify", "--pin", samplePin, "--kept", "../kept"}

// softerSet pins a copy of a shipped set with one of its limits a hundredth of what it was.
const softerSet = `mkdir -p requirements; sed 's/100 Ω\/V/1 Ω\/V/g' "$SETS"/technical-baseline.json > requirements/technical-baseline.json`

// movedDisclosure puts the digest of a value of one part into another, in a yard where the value's file is at hand.
const movedDisclosure = `mkdir -p ../y/cars ../y/private/c; echo '{"workshop": "tallow-lane"}' > ../y/yard.json
id=$(sed -n 's/.*"id": "\([0-9a-f]*\)".*/\1/p' ledger.json)
printf '[\n  "00112233445566778899aabbccddeeff",\n  "%s",\n  "parts/fuel-tank.json",\n  "/value",\n  "900 GBP"\n]\n' $id > ../x
d=$(sha256sum ../x | cut -d' ' -f1); mv ../x ../y/private/c/$d.json
sed -i "s/\"name\": \"Air cleaner\"/\"value\": \"$d\", &/" parts/air-cleaner.json; grep -q $d parts/air-cleaner.json; cp -r . ../y/cars/c`

const attackSetup = `set -e
cp allowed_signers ../keys
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
	sets, err := filepath.Abs("../../records/requirements")
	if err != nil {
		t.Fatal(err)
	}
	packs := t.TempDir()
	layPacks(t, filepath.Join(first, "cars", "tern-1500"), packs)
	for _, a := range attacks {
		t.Run(a.name, func(t *testing.T) {
			t.Parallel()
			home := t.TempDir()
			car, trap := filepath.Join(home, "car"), filepath.Join(home, "trap")
			if err := os.CopyFS(car, os.DirFS(filepath.Join(first, "cars", "tern-1500"))); err != nil {
				t.Fatal(err)
			}
			env := append(os.Environ(), "HOME="+home, "XDG_CONFIG_HOME="+home, "TRAP=touch "+trap, "TZ=UTC", "GIT_CONFIG_NOSYSTEM=1", "PACKS="+packs, "YARD="+first, "SETS="+sets)
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
			a.askStock(t, car, trap, env)
		})
	}
}

// askStock has stock Git judge the same folder, after ours has.
func (a attack) askStock(t *testing.T, car, trap string, env []string) {
	t.Helper()
	if a.stock == "" {
		return
	}
	out, status := shell(t, car, env, "sh", "-c", a.stock)
	_, err := os.Lstat(trap)
	if fell := err == nil; fell != (a.stock == trapped) || a.stock != trapped && status == 0 {
		t.Errorf("stock git ends with %d, and that it ran into the tripwire is %v\n%s", status, fell, out)
	}
	if a.stock != trapped && a.status == 0 && a.verb == nil {
		t.Error("stock git finds fault, and verify does not")
	}
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
