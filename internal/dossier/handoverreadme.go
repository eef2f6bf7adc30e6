package dossier

import (
	"boltback/internal/doc"
)

// HandoverReadme says in plain words what lies in the bag of a handover, and how to check all of it with stock tools. Its
// commands are typed in the folder of the bag, and leave a copy of the car's repository beside it.
func HandoverReadme(h Handing) *doc.Document {
	b := stateBook{open(Input{Snapshot: h.Work.Snapshot(), Commit: h.Commit, Day: h.Day, Program: h.Program}), h.Work, h.Work.On(h.Day)}
	return &doc.Document{
		Title: b.title(), Subtitle: "Read this first: the records of the car, handed over", Language: "en", Provenance: b.provenance(),
		Sections: oneLined(b.bagHolds(h), b.bagChecks(h), b.bagGoesOn(h)),
	}
}

func (b stateBook) bagHolds(h Handing) *doc.Section {
	return doc.NewSection("holds", "What lies here",
		doc.Lead("This folder holds the records of {}, with the whole of their history, for {}.", b.title(), h.To),
		doc.FactsOf(
			doc.Is("data/history.bundle", "the car's repository with all commits, signatures and stamps; git reads it"),
			doc.Is("data/car/", "the same records as plain files, as of the last commit"),
			doc.Is("data/originals/", "photos and documents in full, each named by its SHA-256"),
			doc.Is("data/private/", "the private values that were disclosed to you, each named by its SHA-256"),
			doc.Is("data/dossier.html, .pdf", "all of it as a person reads it"),
			doc.Is("data/handover.html, .pdf", "what to go through together and to sign, what is open, and what is not handed over"),
			doc.Is("data/RULES.md", "how the state of the car follows from the records, complete enough to work it out anew"),
		),
		doc.Para("A folder of these that is not here has nothing in it. That the records are whole and by whom they are signed the steps below show. Whether they are true they do not."))
}

// bagChecks are the steps, each a command of a stock tool.
func (b stateBook) bagChecks(h Handing) *doc.Section {
	const signers = "git -C ../car-copy -c gpg.format=ssh -c gpg.ssh.program=ssh-keygen -c gpg.ssh.allowedSignersFile=allowed_signers "
	steps := doc.Steps(
		doc.Point("Nothing was lost or changed on the way: each file is as the list has it.").
			With(&doc.Verbatim{Text: "sha256sum --quiet -c manifest-sha256.txt\nsha256sum --quiet -c tagmanifest-sha256.txt"}),
		doc.Point("The history can be copied out of the bundle, and each object in it is sound. The copy lies beside this folder, as car-copy.").
			With(&doc.Verbatim{Text: "git clone -q data/history.bundle ../car-copy\ngit -C ../car-copy fsck --strict"}),
		doc.Point("It ends at the commit that this page names, and the plain files are those of that commit.").
			With(&doc.Verbatim{Text: "test \"$(git -C ../car-copy rev-parse HEAD)\" = " + h.Commit + "\ndiff -r --exclude=.git data/car ../car-copy"}),
	)
	if h.Signed {
		steps.Items = append(steps.Items, doc.Point("The last commit is signed by a key that the records allow.").
			With(&doc.Verbatim{Text: signers + "verify-commit HEAD"}))
	}
	if h.SomeSigned {
		steps.Items = append(steps.Items, doc.Point("The log says of each commit whether it is signed so (G is good, N is not signed).").
			With(&doc.Verbatim{Text: signers + "log --format='%h %G? %GS'"}))
	}
	for _, k := range h.Keyed {
		steps.Items = append(steps.Items, doc.Point("The sign-off {} is signed by {}.", doc.Literal(k.Path), doc.Literal(k.Signer)).
			With(&doc.Verbatim{Text: "ssh-keygen -Y verify -f data/car/allowed_signers -I " + k.Signer + " -n boltback -s data/car/" + k.Signature + " < data/car/" + k.Path}))
	}
	s := doc.NewSection("checks", "How to check it, without the program that wrote it",
		doc.Para("Type each command in this folder. One that finds nothing wrong ends without complaint. They need git, ssh-keygen, sha256sum and diff."), steps)
	if !h.Signed {
		s.Add(doc.Para("The last commit is not signed, so these files alone do not show who wrote them."))
	}
	s.Add(doc.Para("Whether a key is the workshop's own no file here can show. Ask the workshop for its fingerprint by another way, and compare:"),
		&doc.Verbatim{Text: "awk '{print $(NF-1), $NF}' data/car/allowed_signers | ssh-keygen -lf -"})
	return s
}

func (b stateBook) bagGoesOn(h Handing) *doc.Section {
	if h.Copy {
		return doc.NewSection("goes-on", "How the record goes on",
			doc.Para("This is a copy: the records go on where it comes from. The copy made above is an ordinary Git repository, and git pull from the bundle of a later copy brings it up to date."),
			doc.Para("Where this program is installed: stand in your own yard, and boltback receive takes this folder in, and later ones after it."))
	}
	return doc.NewSection("goes-on", "How the record goes on",
		doc.Para("The copy made above is an ordinary Git repository, and its files are plain text. Whoever keeps the car next goes on in it, with the same history below."),
		doc.Para("Where this program is installed: stand in your own yard, and boltback receive takes this folder in. It checks all of it first, and writes that the car came as the next commit."))
}
