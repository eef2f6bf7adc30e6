package bag

import (
	"crypto/md5"
	"crypto/sha1"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/hex"
	"hash"
	"regexp"
	"strings"

	"boltback/internal/finding"
)

// algorithms are the digests known here, by the name that a manifest's file name bears (RFC 8493, 2.4).
var algorithms = map[string]func() hash.Hash{
	"md5": md5.New, "sha1": sha1.New, "sha224": sha256.New224, "sha256": sha256.New, "sha384": sha512.New384, "sha512": sha512.New,
}

// promise is one line of a manifest: a file has this digest.
type promise struct {
	algorithm, digest string
	name              string
	line              int
}

// manifest is one manifest read: its promises by name.
type manifest struct {
	file, algorithm string
	tags            bool
	promises        []promise
}

var (
	manifestName = regexp.MustCompile(`^(tag)?manifest-([a-z0-9-]+)\.txt$`)
	manifestLine = regexp.MustCompile(`^([0-9A-Fa-f]+)[ \t]+(\*?)(.+)$`)
)

// manifest reads a payload or tag manifest (RFC 8493, 2.1.3 and 2.2.1). Nil where its algorithm is not known.
func (n *notes) manifest(file, text string, strict bool) *manifest {
	parts := manifestName.FindStringSubmatch(file)
	m := &manifest{file: file, tags: parts[1] != "", algorithm: parts[2]}
	digest := algorithms[m.algorithm]
	if digest == nil {
		n.add(finding.Warning, "bag-algorithm", file, 0, "other manifests are checked", "the digest %s is not known here, so this list was not checked", m.algorithm)
		return nil
	}
	seen := map[string]string{}
	starred := false
	for i, line := range linesOf(text) {
		parts := manifestLine.FindStringSubmatch(line)
		if parts == nil || len(parts[1]) != hex.EncodedLen(digest().Size()) {
			n.add(finding.Error, "bag-manifest", file, i+1, "write digest, two spaces, path", "%q is no %s digest with a path", shortened(line), m.algorithm)
			continue
		}
		starred = starred || parts[2] != ""
		p := promise{algorithm: m.algorithm, digest: strings.ToLower(parts[1]), line: i + 1}
		if p.name = n.listed(m, i+1, parts[3], strict); p.name == "" || n.again(m, p, seen, strict) {
			continue
		}
		m.promises = append(m.promises, p)
	}
	if starred {
		n.add(finding.Warning, "bag-notation", file, 0, "write digest, two spaces, path", "paths have a star before them, as tools for checksums write it")
	}
	return m
}

// listed reads the path of one line; "" where it is refused.
func (n *notes) listed(m *manifest, line int, raw string, strict bool) string {
	name := unescaped(raw, strict)
	if rest, ok := strings.CutPrefix(name, "./"); ok {
		n.add(finding.Warning, "bag-notation", m.file, line, "write "+shortened(rest), "the path %q begins with a dot", shortened(raw))
		name = rest
	}
	under := strings.HasPrefix(name, "data/")
	switch {
	case name != "" && !strings.ContainsAny(name, "\n\r") && !plainName(name):
		n.add(finding.Error, "bag-path", m.file, line, "paths are relative to the bag and stay in it", "%q leads out of the bag", shortened(raw))
	case !m.tags && !under:
		n.add(finding.Error, "bag-path", m.file, line, "payload lies under data/", "%q is not in the payload", shortened(raw))
	case m.tags && (under || strings.HasPrefix(name, "tagmanifest-")):
		n.add(finding.Error, "bag-path", m.file, line, "a tag manifest lists the files beside data/, and no tag manifest", "%q does not belong into this list", shortened(raw))
	default:
		if systemFile(name) {
			n.add(finding.Warning, "bag-system-file", m.file, line, "leave it out", "%q was left behind by an operating system", shortened(raw))
		}
		return name
	}
	return ""
}

// again reports a path that stands in one list for the second time. Two digests are a fault; one, from version 1.0 on.
func (n *notes) again(m *manifest, p promise, seen map[string]string, strict bool) bool {
	first, twice := seen[p.name]
	seen[p.name] = p.digest
	switch {
	case !twice:
	case first != p.digest:
		n.add(finding.Error, "bag-twice", m.file, p.line, "a file has one digest", "%q is listed twice, with two digests", shortened(p.name))
	case strict:
		n.add(finding.Error, "bag-twice", m.file, p.line, "list it once", "%q is listed twice", shortened(p.name))
	default:
		n.add(finding.Warning, "bag-repeated", m.file, p.line, "list it once", "%q is listed twice, with the same digest", shortened(p.name))
	}
	return twice
}

var fetchLine = regexp.MustCompile(`^(\S+)[ \t]+(-|[0-9]+)[ \t]+(.+)$`)

// fetch reads fetch.txt (RFC 8493, 2.2.3), which names files to be got elsewhere. Nothing is ever fetched.
func (n *notes) fetch(text string, strict bool) {
	for i, line := range linesOf(text) {
		parts := fetchLine.FindStringSubmatch(line)
		if parts == nil {
			n.add(finding.Error, "bag-fetch", "fetch.txt", i+1, "write address, size or -, path", "%q does not name a file to fetch", shortened(line))
			continue
		}
		name := strings.TrimPrefix(unescaped(parts[3], strict), "./")
		if !plainName(name) || !strings.HasPrefix(name, "data/") {
			n.add(finding.Error, "bag-path", "fetch.txt", i+1, "what is fetched belongs under data/", "%q leads out of the payload", shortened(parts[3]))
		}
	}
	n.add(finding.Warning, "bag-elsewhere", "fetch.txt", 0, "ask for a bag that holds all its files", "this bag names files that lie elsewhere; nothing was fetched")
}
