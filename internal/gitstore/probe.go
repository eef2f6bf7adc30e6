package gitstore

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	gitconfig "github.com/go-git/go-git/v5/plumbing/format/config"
)

// config is the little that is taken from a repository's own configuration.
// Files that it includes, and the user's and the system's, are not read.
type config struct {
	bare     bool
	worktree string
	reflogs  string // core.logAllRefUpdates in lower case, "" if unset
}

// probe looks at everything that could make a repository unreadable, or
// readable wrongly, before the first object is read.
func (r *Repo) probe() error {
	raw, err := r.readConfig()
	if err != nil {
		return err
	}
	if err := checkFormat(raw); err != nil {
		return err
	}
	if err := r.checkPromises(raw); err != nil {
		return err
	}
	if err := r.settle(raw); err != nil {
		return err
	}
	if _, err := r.head(); err != nil {
		return err
	}
	if !r.Traits.Bare {
		if _, err := r.readIndex(); err != nil {
			return err
		}
	}
	if r.shallow, err = r.readShallow(); err != nil {
		return err
	}
	r.Traits.Shallow = len(r.shallow) > 0
	r.Traits.Replaced = r.replaces()
	r.Traits.Foreign = foreign(r.gitDir) || foreign(r.common) || !r.Traits.Bare && foreign(r.root)
	r.objects, err = openObjects(r.common)
	return err
}

func (r *Repo) readConfig() (*gitconfig.Config, error) {
	raw := gitconfig.New()
	read := func(dir, name string) error {
		text, err := readWithin(dir, name)
		if errors.Is(err, fs.ErrNotExist) {
			return nil
		}
		if err == nil {
			err = decodeConfig(bytes.NewReader(text), raw)
		}
		if err != nil {
			return fmt.Errorf("%s: %w", filepath.Join(dir, name), err)
		}
		return nil
	}
	if err := read(r.common, "config"); err != nil {
		return nil, err
	}
	if isTrue(raw.Section("extensions"), "worktreeConfig") {
		if err := read(r.gitDir, "config.worktree"); err != nil {
			return nil, err
		}
	}
	return raw, nil
}

// decodeConfig reads one file. A stranger's file must not end the program, and
// the parser underneath was not written for strangers.
func decodeConfig(f io.Reader, into *gitconfig.Config) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("it cannot be read as a Git configuration: %v", r)
		}
	}()
	return gitconfig.NewDecoder(f).Decode(into)
}

// isTrue reads a switch; a key without a value is on.
func isTrue(s *gitconfig.Section, key string) bool {
	if !s.HasOption(key) {
		return false
	}
	switch strings.ToLower(s.Option(key)) {
	case "", "true", "yes", "on", "1":
		return true
	}
	return false
}

// checkFormat refuses storage that is laid out in another way.
func checkFormat(raw *gitconfig.Config) error {
	version := raw.Section("core").Option("repositoryformatversion")
	if version != "" && version != "0" && version != "1" {
		return &RefusedError{Reason: "it has the format version " + version, Remedy: "convert it to format version 0 or 1 with Git"}
	}
	for _, o := range raw.Section("extensions").Options {
		value := strings.ToLower(o.Value)
		switch key := strings.ToLower(o.Key); key {
		case "noop", "noop-v1", "preciousobjects", "worktreeconfig", "relativeworktrees":
		case "objectformat":
			if value != "sha1" {
				return &RefusedError{Reason: "its objects are named by " + o.Value + ", not by SHA-1",
					Remedy: "clone it into a repository made with git init --object-format=sha1 by way of git fast-export and git fast-import"}
			}
		case "refstorage":
			if value != "files" {
				return &RefusedError{Reason: "its branches are kept as " + o.Value,
					Remedy: "run git refs migrate --ref-format=files"}
			}
		case "partialclone":
			return promised(o.Value)
		default:
			if version == "1" {
				return &RefusedError{Reason: "it uses the extension " + o.Key + ", which is unknown here",
					Remedy: "clone it with Git into a repository without that extension"}
			}
		}
	}
	return nil
}

func promised(remote string) error {
	return &RefusedError{Reason: "it is a partial clone: objects that it lacks are promised by the remote " + remote,
		Remedy: "clone it again without --filter"}
}

// checkPromises refuses a clone that fetches objects only when they are asked for.
func (r *Repo) checkPromises(raw *gitconfig.Config) error {
	for _, remote := range raw.Section("remote").Subsections {
		for _, o := range remote.Options {
			on := strings.ToLower(o.Value)
			if strings.EqualFold(o.Key, "promisor") && (on == "" || on == "true" || on == "yes" || on == "on" || on == "1") {
				return promised(remote.Name)
			}
		}
	}
	found, err := filepath.Glob(filepath.Join(globEscape(r.common), "objects", "pack", "*.promisor"))
	if err == nil && len(found) > 0 {
		return promised("it was cloned from")
	}
	return err
}

func globEscape(dir string) string {
	return strings.NewReplacer(`*`, `\*`, `?`, `\?`, `[`, `\[`, `\`, `\\`).Replace(dir)
}

// settle takes the settings that matter, and finds out what the work tree is.
func (r *Repo) settle(raw *gitconfig.Config) error {
	core := raw.Section("core")
	r.config = config{bare: isTrue(core, "bare"), worktree: core.Option("worktree"), reflogs: strings.ToLower(core.Option("logAllRefUpdates"))}
	if core.HasOption("logAllRefUpdates") && r.config.reflogs == "" {
		r.config.reflogs = "true"
	}
	r.Traits.Bare = r.config.bare && !r.Traits.Linked
	if r.gitDir == r.root && !r.Traits.Bare {
		return &RefusedError{Reason: "this is the inside of a repository", Remedy: "open the folder that holds its files"}
	}
	if r.config.worktree == "" || r.Traits.Linked {
		return nil
	}
	tree := r.config.worktree
	if !filepath.IsAbs(tree) {
		tree = filepath.Join(r.gitDir, tree)
	}
	if r.Traits.Bare || filepath.Clean(tree) != r.root {
		return &RefusedError{Reason: "core.worktree says that its files lie in " + tree,
			Remedy: "open that folder, or run git config --unset core.worktree"}
	}
	return nil
}

// readShallow lists the commits whose parents were left out by a shallow clone.
func (r *Repo) readShallow() (map[Hash]bool, error) {
	data, err := readWithin(r.common, "shallow")
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	cut := map[Hash]bool{}
	for _, line := range strings.Fields(string(data)) {
		id, err := ParseHash(line)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", filepath.Join(r.common, "shallow"), err)
		}
		cut[id] = true
	}
	return cut, nil
}

func (r *Repo) replaces() bool {
	if _, err := os.Lstat(filepath.Join(r.common, "info", "grafts")); err == nil {
		return true
	}
	if entries, err := os.ReadDir(filepath.Join(r.common, "refs", "replace")); err == nil && len(entries) > 0 {
		return true
	}
	packed, err := readWithin(r.common, "packed-refs")
	return err == nil && strings.Contains(string(packed), " refs/replace/")
}
