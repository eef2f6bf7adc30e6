package validate

import "boltback/internal/finding"

// Code is one rule of the ledger: the word findings carry, how grave it is, what it means and what to do.
type Code struct {
	Name     string
	Severity finding.Severity
	Meaning  string
	Remedy   string
}

// Codes is the rule book, by subject. A finding whose code does not stand here is a fault of the program, and a test says
// so.
var Codes = []Code{
	{"syntax", finding.Error, "the file is not the strict JSON that a record is", "mend it at the line and column named"},
	{"kind", finding.Error, "the record does not say what kind it is, or lies where that kind does not", "set kind, or move the file"},
	{"schema", finding.Error, "a value does not fit the schema", "see boltback schema KIND"},
	{"unknown-member", finding.Error, "the record has a member that the schema does not know", "mend the name, or put it in note"},
	{"incomplete", finding.Error, "something that this kind of record cannot do without is missing", "add it, or leave the text in the inbox"},
	{"layout", finding.Warning, "the file is not laid out the way the ledger writes it", "boltback check --fix-layout"},
	{"too-large", finding.Error, "the file is larger than a record may be", "keep long texts as papers"},
	{"unreadable", finding.Error, "the file cannot be read", "look at its permissions"},
	{"inbox", finding.Warning, "something saved is not complete yet and is not part of the record", "complete it"},

	{"path", finding.Error, "a file among the records has a name that no record has", "rename it"},
	{"path-date", finding.Warning, "the day in the file's name is not the first possible day of the record", "the record decides; rename the file while nothing signed refers to it"},
	{"stray-file", finding.Warning, "a file is not part of the ledger", "keep it as a paper, or elsewhere"},
	{"link", finding.Error, "a link stands among the records", "put the file itself there"},
	{"submodule", finding.Error, "another repository stands among the records", "move it out"},
	{"not-a-file", finding.Error, "something that is neither file nor folder stands among the records", "remove it"},
	{"git-setting", finding.Error, "a file changes how Git treats the records", "remove it"},
	{"merge-open", finding.Error, "the file was changed at two benches, and nobody has chosen between the versions that Git keeps", "write it as it should be, then git add it and git commit"},
	{"repository", finding.Error, "the history behind the records cannot be relied on: it borrows from elsewhere, lies elsewhere or is damaged", "see the hint; without a remedy, clone it anew from a copy that you trust"},
	{"schema-copy", finding.Warning, "a schema kept in the car is not the program's", "put the program's copy back"},
	{"name-form", finding.Error, "letters of a file's name are composed in another way than the ledger's", "rename it"},
	{"name-collision", finding.Error, "two names become one on other machines", "rename one"},
	{"too-deep", finding.Error, "folders are nested deeper than records lie", "move it up"},

	{"unknown-reference", finding.Error, "a record refers to one that is not there", "mend the name, or record what is missing"},
	{"wrong-reference", finding.Error, "a record refers to one of another kind than belongs there", "name one of the right kind"},
	{"broken-reference", finding.Warning, "a record refers to one that cannot be read", "mend that one"},
	{"undeclared-part", finding.Note, "a part was taken off that nobody had declared; its removal declares it", "record the part when there is time"},
	{"withdrawn-reference", finding.Warning, "a record relies on one that was withdrawn", "name what stands in its place, or say why it still holds"},
	{"missing-owner", finding.Error, "an entry of a person or instrument has no person or instrument beside it", "copy it from the workshop"},

	{"handed-over", finding.Error, "something came into a copy of the records after they were handed over, and is in no other copy", "send it to whoever keeps the records now; if the handover came to nothing, take handed-over out of ledger.json"},
	{"entry-changed", finding.Error, "a key, licence, calibration or revocation is not as it was first committed", "put the first version back, and record what is so now as a new entry"},
	{"disclosure-damaged", finding.Error, "a file of a private value is not the one that its name says, so it opens nothing", "bring the file back from a copy of the yard, or delete it"},
	{"disclosure-nowhere", finding.Warning, "a file of a private value fits no place in the records as they are", "look for its record; while the file is there the value is not forgotten"},
	{"digest-copied", finding.Error, "the digest of a private value stands in two places, and it was made for one", "give the value anew where it belongs too: each place has its own digest"},
	{"private-shown", finding.Error, "a text shows a private value that is sealed elsewhere", "say it without the name, address, price or number; once it is committed, only the whole history without it would forget"},
	{"entry-owner", finding.Error, "an entry of one person or instrument revokes, corrects or withdraws one of another", "lay it beside the one it is about"},

	{"two-corrections", finding.Error, "two records correct or withdraw the same one, so neither applies", "withdraw one of the two"},
	{"self-correction", finding.Error, "a record corrects or withdraws itself", "name the record that was wrong"},
	{"no-reason", finding.Error, "a correction or withdrawal gives no reason", "add reason"},
	{"reason-alone", finding.Warning, "a record gives a reason but corrects and withdraws nothing", "move it to note"},

	{"date", finding.Error, "a date cannot be read, or there is no such day", "write it as 2026-03-02, 1967-03, 196X"},
	{"date-order", finding.Error, "something ends before it begins, or was written down before it happened", "mend the date that is wrong"},
	{"future-date", finding.Error, "something is recorded as done on a day that has not come", "mend the date, or --on the right day"},
	{"date-ambiguous", finding.Warning, "a paper's date can be read in two ways", "add the country the paper comes from, or another date on it"},

	{"order-impossible", finding.Error, "no order is possible in which all of the work was done", "correct the times or the stated order of one session"},
	{"order-not-stated", finding.Warning, "two lines worked on one thing and nothing states which came first, so the worse outcome is carried", "state after, or the times of both"},

	{"quantity", finding.Error, "a measure cannot be read, or is of another dimension", "write number, space and unit: 47 N.m"},

	{"tag-twice", finding.Error, "one tag is on two parts", "tell them apart by a and b with a note; nothing is renumbered silently"},
	{"digest", finding.Error, "a file is not the one the paper describes", "find the right file, or correct the paper"},
	{"paper-twice", finding.Warning, "two papers describe one file, which is one proof", "withdraw one of the two"},
	{"photo-date", finding.Warning, "a photo's claimed day is not the one that its camera wrote", "photograph a clock with the same camera, or correct the claim"},
	{"photo-clock", finding.Warning, "a photo of a clock is named and proves nothing of this photo's camera", "name one of the same camera, within a day, whose claimed says what the clock showed"},
	{"photo-copy", finding.Note, "a photo came through a messaging program and tells nothing of when it was taken", "ask for the original"},
	{"private-preview", finding.Error, "a title, invoice, licence or letter has a preview in the ledger", "take the preview out"},
	{"preview-speaks", finding.Error, "a preview holds more than its pixels", "record the photo with --file, which makes a bare one"},
	{"revision", finding.Warning, "it is not clear which revision of a drawing is the latest", "state revision, and let each replace the one before it"},
	{"drawing-replaced", finding.Note, "something refers to a drawing of which there is a later revision", "say to which one it was made"},
	{"no-file", finding.Warning, "the ledger has no file for a preview that a paper describes", "put the preview back"},
	{"no-paper", finding.Warning, "a preview is there that no paper describes", "record the paper, or remove the file"},
	{"original-not-here", finding.Note, "the original of a paper is not here, so its preview is the workshop's word", "find it, or leave it so"},

	{"secret", finding.Error, "a text looks like a password, a key, a token or a PIN", "take it out and record where it is held; if it was committed, change it at the unit"},
	{"setting-apart", finding.Warning, "a setting does not hold unit, firmware, version and fingerprint together", "add what is missing"},
	{"code-not-held", finding.Warning, "nobody is recorded as holding a key, code or password", "say who has it and where"},
	{"keeper-gap", finding.Warning, "a transfer does not join the one before it", "record the one between, or leave the gap as one"},
	{"custody-twice", finding.Error, "a transfer says two things of one part", "a part goes one way"},

	{"licence-missing", finding.Warning, "work was done that asks for a licence, and the ledger knows of none", "copy the licence entry, or record who supervised"},
	{"licence-date", finding.Error, "a licence was not valid on the day", "record who supervised, or a licence that was"},
	{"licence-scope", finding.Error, "a licence was valid on the day but covers something else", "have it signed by somebody licensed for it"},
	{"key-date", finding.Error, "a signature was made with a key that was not valid on the day", "sign again with a valid key"},
	{"calibration-missing", finding.Warning, "a reading names an instrument of which the ledger has no calibration", "copy the calibration entry"},
	{"calibration-date", finding.Warning, "an instrument was out of calibration on the day", "clears if a later calibration found it in tolerance"},
	{"calibration-failed", finding.Warning, "a later calibration found the instrument out of tolerance", "repeat what was done with it in between"},
	{"instrument-range", finding.Warning, "an instrument was used outside its range", "repeat with one that covers the figure"},

	{"tightening", finding.Warning, "a tightening does not show that its specification was met", "tighten again and record it"},
	{"factor-twelve", finding.Error, "a torque is twelve times its specification or a twelfth of it: pound-inches and pound-feet may be mixed up", "look at the wrench's scale"},

	{"field-damaged", finding.Error, "a number has been through a spreadsheet and is no evidence of identity", "read it again from the original"},
	{"field-suspect", finding.Note, "a number may have been through a spreadsheet", "read it again from the original"},
	{"number-conflict", finding.Error, "the same number is read differently in two places", "look again; both readings stay"},
	{"number-near-miss", finding.Warning, "a number differs by one slip from another reading of it", "look again; nothing is corrected"},
	{"odd-character", finding.Warning, "a number holds a character that only looks like the one meant", "read it again from the original"},
	{"split-wrong", finding.Warning, "the maker's part of a number and what was added do not make up the number read", "mend the split"},
	{"legibility-unlike", finding.Note, "a number is called legible and has places that were not made out", "mend one of the two"},
	{"not-factory-method", finding.Note, "a number is present but not applied the way the maker did it: it supports, it does not prove", "ask for casting and date"},
	{"check-digit", finding.Warning, "a chassis number's check digit does not come out", "read it again; it is a check of transcription only"},
	{"titled-number-off-car", finding.Error, "the title carries the number of a unit that is not on the car", "have the papers corrected before presentation"},
	{"titled-number-on-unit", finding.Warning, "the title carries the number of a unit that could come off", "keep the unit with the car"},
	{"titled-number-not-found", finding.Warning, "the number on the title was read on no part of the car", "find where it is stamped, or have the title corrected"},
	{"plate-origin-unknown", finding.Note, "nobody recorded whether a plate is the maker's", "say so in status"},
	{"plate-copy-alone", finding.Error, "a copy of the plate is on the car and the records know of no original", "find the original; the law on plates is strict"},
	{"plate-copy-differs", finding.Error, "a copy of the plate does not carry the original's number in full", "find a photo of the original in place"},
	{"plate-copy-on-car", finding.Warning, "a copy of the maker's plate is on the car", "say so to every buyer and inspector; the law on plates is strict"},
	{"plate-original-off-car", finding.Warning, "the maker's plate is not on the car", "record where it is; the law on plates is strict"},
	{"plates-several-on-car", finding.Warning, "several identity plates are said to be on the car at once", "find out which one is"},
	{"paper-near-miss", finding.Error, "a paper was made out for a number one slip away from this car's", "have it corrected; it is not accepted as this car's"},
	{"paper-of-another-car", finding.Error, "a paper was made out for another number", "have it corrected, or find the paper that belongs to this car"},
	{"register-no-match", finding.Note, "an entry in a register of stolen vehicles is for another number", "keep the answer with the car's papers"},
	{"register-collision", finding.Warning, "a register of stolen vehicles has the same number on another vehicle", "keep a clearance letter with the car's papers"},
	{"register-not-settled", finding.Warning, "an entry in a register of stolen vehicles does not say enough to tell whether it is this car", "ask the register for make, year and type"},
	{"register-match", finding.Error, "an entry in a register of stolen vehicles agrees with this car in number, make, year and type", "take it to the authority before any work or sale"},
	{"paper-not-settled", finding.Warning, "a paper's number is not known in full", "read it again from the original"},

	{"expression", finding.Error, "a test of a requirement set is no expression that can be asked", "mend it at the column named"},
	{"item-twice", finding.Error, "two items of a requirement set have one name", "give one of them another name"},
	{"source-unknown", finding.Error, "an item rests on a source that its set does not list", "list it among the sources"},
	{"rule-not-stated", finding.Error, "an item has a test and nothing states its decision rule", "state it before anything is measured"},
	{"set-unknown", finding.Error, "a requirement set builds on one that is not there", "mend the name, or copy the set into the car"},
	{"set-ring", finding.Error, "a requirement set builds on itself", "leave one of them out"},
	{"set-depth", finding.Error, "requirement sets build on each other too deep", "put their items together"},
	{"override-unused", finding.Warning, "an override of a requirement set changes nothing, or has run out", "remove it, or mend its item or its end"},

	{"bag-declaration", finding.Error, "a bag does not declare its version of BagIt and its encoding", "bagit.txt has two lines, as RFC 8493 gives them"},
	{"bag-encoding", finding.Error, "a tag file of a bag is not in the encoding that the bag declares", "write UTF-8 and declare it"},
	{"bag-info", finding.Error, "a line of bag-info.txt is no label with a value", "write a label, a colon and a value"},
	{"bag-manifest", finding.Error, "a list of a bag's files cannot be read, or there is none", "write digest, two spaces, path"},
	{"bag-path", finding.Error, "a name in a bag leads out of it, or into the wrong part of it", "do not unpack it; ask where it comes from"},
	{"bag-twice", finding.Error, "a list of a bag names a file twice", "list it once, with its one digest"},
	{"bag-repeated", finding.Warning, "a list of an old bag names a file twice, with one digest", "list it once"},
	{"bag-missing", finding.Error, "a file that a bag lists is not in it", "ask for the bag again"},
	{"bag-extra", finding.Error, "a bag has payload that its lists do not vouch for", "list it, or take it out"},
	{"bag-changed", finding.Error, "a file of a bag is not as its list has it", "ask for the bag again, and why"},
	{"bag-size", finding.Error, "a bag's payload is not as large as the bag says", "ask for the bag again"},
	{"bag-fetch", finding.Error, "a line of fetch.txt names no file", "ask for a bag that holds all its files"},
	{"bag-elsewhere", finding.Warning, "a bag names files that lie elsewhere; nothing is fetched", "ask for a bag that holds all its files"},
	{"bag-not-plain", finding.Error, "a bag holds a link, a device or another thing that is no file", "do not unpack it; ask where it comes from"},
	{"bag-archive", finding.Error, "an archive is not one bag in one folder, each name once", "pack the bag's folder itself"},
	{"bag-too-large", finding.Error, "a bag states more than it can hold or than is read here", "do not unpack it"},
	{"bag-unreadable", finding.Error, "bytes of a bag cannot be read, or are not as many as stated", "ask for the bag again"},
	{"bag-more", finding.Error, "a bag has more findings than are listed", "mend what is listed and check again"},
	{"bag-name-form", finding.Warning, "names in a bag differ in case or in the composition of letters alone", "write each name one way"},
	{"bag-system-file", finding.Warning, "a bag lists a file that an operating system left behind", "leave it out"},
	{"bag-notation", finding.Warning, "a list of a bag is written in another way than RFC 8493 has it", "write digest, two spaces, path"},
	{"bag-algorithm", finding.Warning, "a list of a bag has digests that are not known here", "the other lists are checked"},
	{"bag-weak", finding.Note, "a list of a bag has digests that find damage and no longer show meddling", "use sha256 or sha512"},

	{"tag-two-cars", finding.Warning, "one tag is on parts of two cars of the yard", "look at both"},
	{"number-two-cars", finding.Error, "two cars of the yard have one chassis number", "read both again"},
	{"move-one-sided", finding.Warning, "a part went from one car to another, and only one of them records it", "record the other side"},
	{"copy-behind", finding.Warning, "a car's copy of a person, instrument or store is not as the workshop's address book has it", "copy it from the workshop"},
	{"entry-behind", finding.Note, "the address book has entries of a person or instrument that the car lacks", "copy them from the workshop"},
}

// severity gives the gravity of a code.
func severity(code string) (finding.Severity, bool) {
	for _, c := range Codes {
		if c.Name == code {
			return c.Severity, true
		}
	}
	return finding.Error, false
}
