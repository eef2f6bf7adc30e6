package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/requirement"
)

// Requirements is the chapter of one set: what a reader must know first, the matrix of its items with outcome, reason and what to
// bring, what each outcome rests on, the packing list, and the questions for the authority.
func Requirements(a *requirement.Assessment) *doc.Section {
	s := doc.NewSection(doc.Anchor("requirements-"+a.Set.Name), "Requirements: "+a.Set.Title())
	s.Add(requirementHead(a)...)
	if a.Set.Questions() {
		s.Add(doc.Para("It lists questions and judges nothing: the law it is about was not read, or in parts alone. Beside each item stands how it is known."))
	} else {
		s.Add(doc.Lead("{}.", outcomeCounts(a)))
	}
	s.Add(requirementMatrix(a), explained(a), PackingList(a), AuthorityQuestions(a))
	return oneLined(s)[0]
}

// requirementHead is what stands at the head of every page of a set.
func requirementHead(a *requirement.Assessment) []doc.Block {
	body := a.Set.Body
	blocks := []doc.Block{doc.FactsOf(doc.Is("Authority", "{}", body.Authority), doc.Is("Edition", "{}", body.Edition))}
	for _, line := range a.Set.Head {
		blocks = append(blocks, doc.Warn("Edition", "{}", line))
	}
	return append(blocks, doc.Warn("An aid", "{} The authority decides. {}", doc.NotExamined, body.Caution))
}

// setNotice says for the head of every page that a set is another than the program ships, or is not in force; empty where none is.
func setNotice(all ...*requirement.Assessment) string {
	var heads []string
	for _, a := range all {
		heads = append(heads, a.Set.Head...)
	}
	switch len(heads) {
	case 0:
		return ""
	case 1:
		return heads[0]
	}
	return fmt.Sprintf("%s (and %d more, where the sets stand)", heads[0], len(heads)-1)
}

func outcomeCounts(a *requirement.Assessment) string {
	var parts []string
	for _, o := range requirement.Outcomes() {
		if n := a.Count(o); n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", n, o))
		}
	}
	if len(parts) == 0 {
		return "The set asks nothing"
	}
	return capital(count(len(a.Results), "item") + ": " + strings.Join(parts, ", "))
}

// outcomeText sets what is open or bad apart, and not by colour alone.
func outcomeText(o requirement.Outcome) doc.Text {
	switch o {
	case requirement.Met, requirement.DoesNotApply, requirement.Waived, requirement.ForInspector:
		return doc.Say("{}", string(o))
	case requirement.EvidenceMissing:
		return doc.Text{doc.Missing(string(o))}
	}
	return doc.Text{doc.Strong(string(o))}
}

func requirementMatrix(a *requirement.Assessment) doc.Block {
	t := doc.NewTable("Items of the set, with what to bring", doc.Col("Item", 4), doc.Col("Outcome", 2), doc.Col("Reason", 6), doc.Col("Bring", 4))
	t.ID = "matrix-" + a.Set.Name
	of := a.Set.Name
	for i := range a.Results {
		r := &a.Results[i]
		if r.Item.Set != of {
			of = r.Item.Set
			t.Group("From the set " + of)
		}
		t.Row(doc.Say("{}", r.Item.Title), doc.Cell{Text: outcomeText(r.Outcome)}, doc.Say("{}", r.Reason), doc.Say("{}", strings.Join(r.Item.Bring, "; ")))
	}
	return t
}

// explained says of each item what is asked, where, who judges it, and what its outcome rests on.
func explained(a *requirement.Assessment) *doc.Section {
	s := doc.NewSection("items-"+a.Set.Name, "Each item explained")
	for i := range a.Results {
		s.Add(explainedItem(&a.Results[i]))
	}
	return s
}

func explainedItem(r *requirement.Result) *doc.Section {
	it := r.Item
	s := doc.NewSection(doc.Anchor("item-"+it.ID()), it.Title)
	s.Add(doc.Para("{}", it.Asks))
	f := doc.FactsOf(doc.Is("Outcome", "{}: {}", outcomeText(r.Outcome), r.Reason))
	if it.Source.Document != "" {
		f.Add("Asked by", "{}, {} ({})", it.Source.Document, it.Clause, it.Basis())
	}
	f.Add("Set", "{}, edition {}", it.Set, orNotStated(it.Edition))
	if it.Test != "" && it.Rule != "" {
		f.Add("Decision rule", "{}, fixed by the set before anything was measured", string(it.Rule))
	}
	if r.Outcome == requirement.Met {
		f.Add("Wrong accept", "{}", wrongAccept(r))
	}
	f.Add("Judged by", "{}", orNotStated(it.Judge))
	if len(r.Records) > 0 {
		f.Add("Records", "{}", strings.Join(refWords(r.Records), ", "))
	}
	if len(r.Workings) > 0 {
		f.Add("Workings", "{}", strings.Join(r.Workings, "; "))
	}
	if it.Changed != nil {
		f.Add("Overridden", "until {}: {}", string(it.Changed.Until), it.Changed.Reason)
	}
	if it.Note != "" {
		f.Add("Note", "{}", it.Note)
	}
	s.Add(f)
	s.Add(gapList(r)...)
	if r.Outcome == requirement.NotMet || r.Outcome == requirement.TooClose {
		s.Add(doc.Para("What to do: {}", it.Remedy))
	}
	if it.Caution != "" {
		s.Add(doc.Warn("Safety", "{} {}", it.Caution, local))
	}
	return s
}

func orNotStated(s string) string {
	if s == "" {
		return "not stated"
	}
	return s
}

func refWords(refs []record.Ref) []string {
	var words []string
	for _, r := range refs {
		words = append(words, string(r))
	}
	return words
}

// wrongAccept is the chance that an outcome "met" is wrong, as far as it is known.
func wrongAccept(r *requirement.Result) string {
	p, ok := r.WrongAccept()
	switch {
	case len(r.Comparisons) == 0:
		return "nothing was measured: it stands and falls with the records"
	case !ok:
		return "not known, as an uncertainty is not recorded or a reading is a bound"
	case p < 0.0001:
		return "below 0.01 %"
	}
	return fmt.Sprintf("%.2g %%", p*100)
}

func gapList(r *requirement.Result) []doc.Block {
	if len(r.Gaps) == 0 {
		return nil
	}
	list := doc.Bullets()
	for _, g := range r.Gaps {
		list.Items = append(list.Items, doc.Point("{}. Would settle it: {}.", capital(g.Sentence()), g.Want))
	}
	return []doc.Block{list}
}

// PackingList is what to bring: each paper once, with the items it is for, and what still has to be made before.
func PackingList(a *requirement.Assessment) *doc.Section {
	s := doc.NewSection("packing-"+a.Set.Name, "Packing list")
	var order []string
	items := map[string][]string{}
	for i := range a.Results {
		r := &a.Results[i]
		if r.Outcome == requirement.DoesNotApply || r.Outcome == requirement.Waived {
			continue
		}
		for _, b := range r.Item.Bring {
			if items[b] == nil {
				order = append(order, b)
			}
			word := r.Item.Title
			if r.Outcome != requirement.Met && r.Outcome != requirement.ForInspector {
				word += " (" + string(r.Outcome) + ")"
			}
			items[b] = append(items[b], word)
		}
	}
	list := doc.Bullets()
	for _, b := range order {
		list.Items = append(list.Items, doc.Point("{}: for {}.", capital(b), strings.Join(items[b], ", ")))
	}
	if len(order) == 0 {
		s.Add(doc.Para("The set names nothing to bring."))
		return s
	}
	s.Add(list)
	return s
}

// AuthorityQuestions lists what to ask the authority, item by item.
func AuthorityQuestions(a *requirement.Assessment) *doc.Section {
	s := doc.NewSection("questions-"+a.Set.Name, "Questions for the authority")
	list := doc.Bullets()
	for i := range a.Results {
		if r := &a.Results[i]; r.Item.Ask != "" && r.Outcome != requirement.DoesNotApply {
			list.Items = append(list.Items, doc.Point("{} ({})", r.Item.Ask, r.Item.Title))
		}
	}
	if len(list.Items) == 0 {
		s.Add(doc.Para("The set has none."))
		return s
	}
	s.Add(list)
	return s
}

// RequirementSets lists the sets that can be asked.
func RequirementSets(sets []*requirement.Set) *doc.Section {
	s := doc.NewSection("requirement-sets", "Requirement sets")
	t := doc.NewTable("Requirement sets", doc.Col("Set", 5), doc.Col("Authority", 6), doc.Col("Edition", 2), doc.Col("Items", 1), doc.Col("Gives", 3))
	for _, set := range sets {
		gives := "outcomes"
		if set.Questions() {
			gives = "questions alone"
		}
		t.Row(doc.Literal(set.Name), doc.Say("{}", set.Body.Authority), set.Body.Edition, fmt.Sprint(len(set.Items)), gives)
	}
	s.Add(t)
	return oneLined(s)[0]
}

// RequirementSet is one set without a car: what it asks, item by item, with clause and test, and its sources.
func RequirementSet(set *requirement.Set) *doc.Section {
	s := doc.NewSection(doc.Anchor("set-"+set.Name), set.Title())
	s.Add(requirementHead(&requirement.Assessment{Set: set})...)
	sources := doc.NewTable("Sources", doc.Col("Document", 7), doc.Col("Known by", 2), doc.Col("Note", 6))
	for _, src := range set.Body.Sources {
		sources.Row(doc.Say("{}", src.Document), src.Basis, doc.Say("{}", src.Note))
	}
	if sources.Rows() > 0 {
		s.Add(sources)
	}
	for i := range set.Items {
		it := &set.Items[i]
		f := doc.FactsOf(doc.Is("Asks", "{}", it.Asks))
		if it.Source.Document != "" {
			f.Add("Asked by", "{}, {} ({})", it.Source.Document, it.Clause, it.Basis())
		}
		if it.To != "" {
			f.Add("Of", "{}", it.To)
		}
		if it.Test != "" {
			f.Add("Test", "{}", doc.Literal(it.Test))
			f.Add("Decision rule", "{}", string(it.Rule))
		}
		if it.Test != "" || len(it.Evidence) > 0 {
			f.Add("Evidence", "{}", orNotStated(strings.Join(it.Evidence, "; ")))
		}
		f.Add("Judged by", "{}", orNotStated(it.Judge))
		for _, more := range [][2]string{{"Bring", strings.Join(it.Bring, "; ")}, {"To ask", it.Ask}, {"Note", it.Note}} {
			if more[1] != "" {
				f.Add(more[0], "{}", more[1])
			}
		}
		s.Add(doc.NewSection(doc.Anchor("item-"+it.ID()), it.Title, f))
	}
	return oneLined(s)[0]
}

// FactCatalogue lists the facts that tests of sets may ask for.
func FactCatalogue(subjects []*requirement.Subject) *doc.Section {
	s := doc.NewSection("facts", "Facts that tests may ask for")
	t := doc.NewTable("Facts", doc.Col("Fact", 5), doc.Col("Kind", 3), doc.Col("What it is", 7))
	for _, subject := range subjects {
		t.Group(capital(subject.Words))
		for _, f := range subject.Facts {
			kind := string(f.Kind)
			if f.Of != "" {
				kind += " of " + f.Of
			}
			t.Row(doc.Literal(subject.Name+"."+f.Name), kind, doc.Say("{}", f.Words))
		}
	}
	s.Add(t)
	return s
}
