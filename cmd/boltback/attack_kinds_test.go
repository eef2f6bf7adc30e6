package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// kindsOfAttack are those that must each have a row, here or elsewhere.
var kindsOfAttack = []string{
	"flipped bits in records", "flipped bits in signatures", "flipped bits in keys", "flipped bits in commits", "flipped bits in tokens", "flipped bits in disclosures",
	"flipped bits in manifests", "a swapped signature", "a stripped signature", "a replayed signature", "namespaces crossed",
	"a record relabelled as another car", "a ledger relabelled as another car", "backdated commits",
	"a key extended after the fact", "a licence extended after the fact", "a calibration extended after the fact",
	"trust root from the head under check", "truncated history", "grafts", "replace references", "alternates",
	"duplicate keys", "look-alike names", "names not in normal form", "tricks in allowed_signers",
	"crafted records", "crafted objects", "crafted packs", "crafted deltas", "crafted index of a pack", "crafted index of Git",
	"configuration includes", "configuration that leads elsewhere", "hooks", "filters", ".lfsconfig", "core.fsmonitor and the like",
	"a cache inside a received folder", "limits softened", "schema softened", "requirement set softened", "a swapped preview",
	"a disclosure moved to another field", "huge everything", "deep everything",
	"tokens without certificate", "tokens with wrong use", "tokens with wrong imprint", "tokens and stamps",
	"terminal escapes in names", "terminal escapes in messages", "bidi controls in names", "bidi controls in messages",
}

// shown is a row that a test of another package, or another test of this one, plays: the verdict that it must get, what stock tools
// say of the same, "" where they have no verdict, and the test, with the name of its row if it has several.
type shown struct{ kind, attack, verdict, stock, test string }

var shownElsewhere = []shown{
	{"flipped bits in records", "a changed byte in a sign-off or a record that it covers", "void or stale, never current", "ssh-keygen -Y verify refuses", "internal/signoff TestAnyChangedByteOfWhatWasSignedShows"},
	{"flipped bits in signatures", "each bit of a signature and of what it is over", "bad signature", "ssh-keygen -Y verify refuses", "internal/attest TestEveryFlippedBitFails"},
	{"flipped bits in signatures", "each byte of a sign-off that lies alone", "does not hold", "ssh-keygen -Y verify refuses", "internal/signoff TestAnyByteOfASignOffThatIsChangedIsFound"},
	{"flipped bits in keys", "each bit of a key in a list of signers", "unknown key, or the list is refused", "ssh-keygen -Y verify refuses", "internal/attest TestEveryFlippedBitOfAKeyLetsNobodyIn"},
	{"flipped bits in commits", "each bit of a signed commit", "bad signature or unreadable", "git verify-commit refuses", "internal/signoff TestEveryFlippedBitOfACommitIsFound"},
	{"flipped bits in commits", "an object under the name of another", "the history is not read", "git fsck objects", "internal/gitstore TestAWalkThatProvesIdsFindsACommitUnderTheNameOfAnother"},
	{"flipped bits in commits", "a damaged object", "it is not read", "git fsck objects", "internal/gitstore TestADamagedObjectIsNoticed"},
	{"flipped bits in tokens", "each bit of what a token signs, of its signature and of its certificate", "the stamp shows nothing", "openssl ts -verify refuses", "internal/attest TestEveryFlippedBitOfSignedMaterialFails"},
	{"flipped bits in disclosures", "each bit of a disclosure", "it opens nothing", "sha256sum -c refuses", "internal/record TestAnyFlippedBitOfADisclosureOpensNothing"},
	{"flipped bits in manifests", "each bit of the manifest of a stamp", "another digest", "sha256sum -c refuses", "internal/signoff TestEveryFlippedBitOfAManifestChangesItsDigest"},
	{"a swapped signature", "the signatures of two sign-offs changed for each other", "void: bad signature", "ssh-keygen -Y verify refuses", "internal/signoff TestSignaturesSwappedBetweenTwoSignOffsFitNeither"},
	{"a swapped signature", "the signature of another sign-off", "void: bad signature", "ssh-keygen -Y verify refuses", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/the signature of another sign-off"},
	{"a stripped signature", "the signature beside a sign-off taken away", "void: no signature", "", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/the signature stripped later"},
	{"a stripped signature", "a sign-off taken away by somebody whose key counts", "removed after it came in", "", "internal/signoff TestAttacksAreSeenForWhatTheyAre/a sign-off removed without a trace in the files"},
	{"a replayed signature", "a signed commit put upon another parent", "bad signature", "git verify-commit refuses", "internal/signoff TestAttacksAreSeenForWhatTheyAre/a signed commit replayed on another parent"},
	{"a replayed signature", "a sign-off moved to another place", "void: made for another place", "", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/moved to another place"},
	{"a replayed signature", "a counter-signature over an earlier text", "does not count", "", "internal/signoff TestACounterSignatureOverAnEarlierTextOfASignOffDoesNotCount"},
	{"a replayed signature", "a second spelling of one signature", "unreadable", "", "internal/attest TestSecondSpellingsOfASignatureAreRefused"},
	{"namespaces crossed", "a commit's signature on a sign-off", "void: bad signature", "ssh-keygen -Y verify -n boltback refuses", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/a commit's signature crossed over"},
	{"namespaces crossed", "a sign-off's signature on a commit", "bad signature", "git verify-commit refuses", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/a sign-off's signature on a commit"},
	{"namespaces crossed", "a signature relabelled for another purpose", "does not fit", "ssh-keygen -Y verify refuses", "internal/attest TestSecondSpellingsOfASignatureAreRefused/relabelled as a commit's"},
	{"namespaces crossed", "the bytes of a commit offered as a sign-off", "no sign-off", "", "internal/signoff TestAttacksAreSeenForWhatTheyAre/a tag's or commit's bytes offered as a sign-off"},
	{"a record relabelled as another car", "a sign-off that was made for another ledger", "void: another ledger", "", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/made for another car's ledger"},
	{"a record relabelled as another car", "a sign-off that was made for another car", "void: another car", "", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/made for another car"},
	{"a record relabelled as another car", "records out of a dossier relabelled as another car's", "another ledger", "", "internal/signoff TestWhatAnOutsiderKeptIsReadAndHeldAgainstTheHistory/records relabelled as another's"},
	{"a ledger relabelled as another car", "the numbers of the car rewritten by a stranger", "its sign-offs are void, the commit is of an unknown key", "git verify-commit refuses", "internal/signoff TestAttacksAreSeenForWhatTheyAre/the ledger relabelled as another car"},
	{"a ledger relabelled as another car", "a number read otherwise by the workshop itself", "stale: a number that was signed is gone", "", "internal/signoff TestWhatChangedSinceMakesASignOffStale/a number of the car read otherwise"},
	{"backdated commits", "a commit dated before its parent", "dates running backwards", "git verify-commit takes it", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/a commit dated before its parent"},
	{"backdated commits", "a commit dated before its key was valid", "outside its validity", "git verify-commit refuses", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/a commit before the key was valid"},
	{"backdated commits", "a sign-off dated before its key was valid", "void: the key was not valid", "ssh-keygen -O verify-time refuses", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/dated before the key was valid"},
	{"a key extended after the fact", "a key entry with a later end", "outside its validity, as it was first committed", "git verify-commit takes it with today's list", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/a key entry extended after the fact"},
	{"a key extended after the fact", "a revocation that was taken away", "revoked all the same", "git verify-commit takes it with today's list", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/a commit by a key whose revocation was removed"},
	{"a licence extended after the fact", "a licence with a later end", "stale, with the difference", "", "internal/signoff TestWhatChangedSinceMakesASignOffStale/the licence extended after the fact"},
	{"a calibration extended after the fact", "a calibration with a later end", "stale, with the difference", "", "internal/signoff TestWhatChangedSinceMakesASignOffStale/the calibration extended after the fact"},
	{"trust root from the head under check", "the people at the head replaced", "unknown key", "git verify-commit takes it with the head's list", "internal/signoff TestAttacksAreSeenForWhatTheyAre/the people at the head replaced"},
	{"trust root from the head under check", "a key and what it signs in one commit", "void: unknown key", "", "internal/signoff TestSignOffsThatBindNobodyAreVoidWithTheReason/signed before the key was added"},
	{"trust root from the head under check", "a key from a branch that nobody's key merged", "unknown key", "git verify-commit refuses", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/a key from a branch that nobody's key merged"},
	{"trust root from the head under check", "a history told anew by a stranger, against a pin", "the origin is contradicted", "", "internal/signoff TestAttacksAreSeenForWhatTheyAre/the whole history told anew by a stranger"},
	{"truncated history", "the beginning cut off", "cut off: nobody is let in", "", "internal/signoff TestAHistoryThatWasCutOffLetsNobodyIn"},
	{"truncated history", "two copies that part", "the copies differ", "", "internal/signoff TestTwoCopiesOfAHistoryAreCompared"},
	{"truncated history", "a stamp over commits that are gone", "not in this history", "", "internal/signoff TestStampsAreHeldAgainstTheHistory"},
	{"crafted objects", "commits that no Git writes", "bad, or noted as odd", "", "internal/signoff TestObjectsThatNoGitWritesAreNotBelieved"},
	{"crafted objects", "files of single objects", "not read", "git fsck objects", "internal/gitstore TestCraftedObjectFilesEndInAnError"},
	{"crafted packs", "packs whose objects are not what they state", "not read", "git index-pack refuses", "internal/gitstore TestCraftedPacksEndInAnErrorAsTheyDoForGit"},
	{"crafted deltas", "a chain longer than any that Git makes", "not read", "", "internal/gitstore TestAChainLongerThanAnyThatGitMakesIsLeft"},
	{"crafted index of a pack", "places exchanged, names of other things, tables that run backwards", "not read", "git fsck objects", "internal/gitstore TestCraftedIndexesOfPacksAreSeenThrough"},
	{"crafted index of Git", "names spelt without end", "not read", "", "internal/gitstore TestAnIndexThatSpellsNamesWithoutEndIsRefused"},
	{"configuration that leads elsewhere", "links and pointers out of the repository", "refused", "git follows them", "internal/gitstore TestNothingIsReadOutsideTheRepository"},
	{"core.fsmonitor and the like", "every setting that names a program", "nothing runs", "git runs them", "internal/gitstore TestNothingThatARepositoryConfiguresIsRun"},
	{"tricks in allowed_signers", "a certificate authority", "the list is refused as a whole", "ssh-keygen takes the rest", "internal/attest TestTricksInListsAreRefusedAsAWhole/a certificate authority"},
	{"tricks in allowed_signers", "an option twice", "the list is refused as a whole", "ssh-keygen skips the line", "internal/attest TestTricksInListsAreRefusedAsAWhole/an option twice"},
	{"tricks in allowed_signers", "an instant without Z", "the list is refused as a whole", "ssh-keygen takes local time", "internal/attest TestTricksInListsAreRefusedAsAWhole/an instant without Z"},
	{"tricks in allowed_signers", "the list for stock tools changed by a key that counts", "stock tools are told something else", "git verify-commit takes the stranger", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/the list for stock tools changed"},
	{"duplicate keys", "one key for two people", "noted", "", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/one key for two people"},
	{"look-alike names", "a look-alike letter in a list", "the list is refused as a whole", "", "internal/attest TestTricksInListsAreRefusedAsAWhole/a look-alike letter"},
	{"names not in normal form", "a letter with a loose accent in a list", "the list is refused as a whole", "", "internal/attest TestTricksInListsAreRefusedAsAWhole/a letter with a loose accent"},
	{"limits softened", "limits softened by a key that counts", "policy weakened", "", "internal/signoff TestEachCommitIsJudgedByWhatWasTrueBeforeIt/limits softened"},
	{"limits softened", "a policy weakened and used in one commit", "policy broken", "git verify-commit refuses", "internal/signoff TestAttacksAreSeenForWhatTheyAre/policy weakened and used in one commit"},
	{"a disclosure moved to another field", "field, record or ledger exchanged", "it opens nothing", "", "internal/record TestADisclosureBelongsToOneFieldOfOneRecordOfOneLedger"},
	{"huge everything", "a signature of enormous length", "void: no signature", "", "internal/signoff TestAttacksAreSeenForWhatTheyAre/a signature of enormous length"},
	{"huge everything", "a list of enormous length", "the list is refused as a whole", "", "internal/attest TestTricksInListsAreRefusedAsAWhole/a list of enormous length"},
	{"deep everything", "a sign-off a hundred thousand deep", "altered, and none", "", "internal/signoff TestAttacksAreSeenForWhatTheyAre/the sign-off made unreadable"},
	{"deep everything", "an answer of nothing but openings", "unreadable", "", "internal/attest TestAnswersThatAreNoneAreRefused"},
	{"tokens without certificate", "no certificate at all", "no certificate", "openssl ts -verify refuses", "internal/attest TestTokensThatProveNothingAreRefused/no certificate at all"},
	{"tokens with wrong use", "a certificate for web servers", "not for stamps", "openssl ts -verify refuses", "internal/attest TestTokensThatProveNothingAreRefused/a certificate for web servers"},
	{"tokens with wrong use", "a use that may be ignored", "not for stamps", "openssl ts -verify refuses", "internal/attest TestTokensThatProveNothingAreRefused/a usage that may be ignored"},
	{"tokens with wrong imprint", "other bytes", "over other bytes", "openssl ts -verify refuses", "internal/attest TestTokensThatProveNothingAreRefused/other bytes"},
	{"tokens and stamps", "another nonce", "another nonce", "", "internal/attest TestTokensThatProveNothingAreRefused/another nonce"},
	{"tokens and stamps", "an authority that nobody trusts", "not trusted", "openssl ts -verify refuses", "internal/attest TestTokensThatProveNothingAreRefused/an authority nobody trusts"},
	{"tokens and stamps", "tags that are not what they say", "not read as a stamp", "", "internal/signoff TestTagsThatAreNotWhatTheySayAreRefused"},
}

// TestEveryKindOfAttackHasARowAndEveryRowATest holds the one table of attacks together: the rows of attacks are played in this package,
// and those of shownElsewhere must lead to a test that is there, with a row of that name.
func TestEveryKindOfAttackHasARowAndEveryRowATest(t *testing.T) {
	rows, names := map[string]int{}, map[string]bool{}
	add := func(kind, name string) {
		if !slices.Contains(kindsOfAttack, kind) {
			t.Errorf("%s: the kind %q is not in the list of kinds", name, kind)
		}
		if names[kind+name] {
			t.Errorf("%s: it stands twice", name)
		}
		rows[kind]++
		names[kind+name] = true
	}
	for _, a := range attacks {
		add(a.kind, a.name)
	}
	tests := map[string]map[string][]string{}
	for _, s := range shownElsewhere {
		add(s.kind, s.attack)
		pkg, test, _ := strings.Cut(s.test, " ")
		name, row, several := strings.Cut(test, "/")
		if tests[pkg] == nil {
			tests[pkg] = textsOfTests(t, pkg)
		}
		texts, here := tests[pkg][name]
		if !here || s.verdict == "" {
			t.Errorf("%s: %s has no %s, or no verdict is stated", s.attack, pkg, name)
		}
		if several && !slices.Contains(texts, row) {
			t.Errorf("%s: %s has no row %q", s.attack, name, row)
		}
	}
	for _, kind := range kindsOfAttack {
		if rows[kind] == 0 {
			t.Errorf("no row shows %s", kind)
		}
	}
	if len(names) < 50 {
		t.Errorf("%d rows", len(names))
	}
}

// textsOfTests reads the tests of a package, and the texts that stand in each.
func textsOfTests(t *testing.T, pkg string) map[string][]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("../..", pkg, "*_test.go"))
	if err != nil || len(files) == 0 {
		t.Fatal(pkg, err)
	}
	tests := map[string][]string{}
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			f, ok := d.(*ast.FuncDecl)
			if !ok || !strings.HasPrefix(f.Name.Name, "Test") {
				continue
			}
			tests[f.Name.Name] = []string{}
			ast.Inspect(f, func(n ast.Node) bool {
				if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
					if text, err := strconv.Unquote(lit.Value); err == nil {
						tests[f.Name.Name] = append(tests[f.Name.Name], text)
					}
				}
				return true
			})
		}
	}
	return tests
}
