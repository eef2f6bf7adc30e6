package sheet

import (
	"slices"

	"boltback/internal/figure"
	"boltback/internal/page"
)

// caution is a way to be hurt by a job, and the usual care against it. It is a
// reminder to people who know the work, and never a method.
type caution struct {
	kind, text string
}

// local closes every list of cautions.
const local = "Reminders, not a method. Law, local codes and licensed practice decide what is done and by whom; this sheet replaces none of them."

// The cautions, by hazard.
var (
	support  = caution{"Support", "The car stands on stands or a lift rated for it, on level ground, and has been rocked to prove it, before anyone or any part goes beneath. A jack alone holds nothing."}
	heavy    = caution{"Lifting", "Mass and centre of the load are known or taken as worse; slings and points are rated; nobody is under or beside the load. The car's balance changes when it is off."}
	battery  = caution{"12 V off", "Earth lead of the starter battery off first and kept off; the old loom has no fuse on many of its wires."}
	fuel     = caution{"Fuel", "No flame, heater, spark or running charger while tank, lines or carburettor are open. A tank counts as full of vapour until it was read gas-free and dated; drained is not gas-free."}
	asbestos = caution{"Asbestos", "Old brake and clutch linings, gaskets, and lagging are suspect until tested. Keep them wet and whole, no air line, no brush; bag and label them as your law asks."}
	pressure = caution{"Springs, gas", "Coils, dampers, refrigerant and coolant hold energy. Compress, drain or recover first; refrigerant only by those licensed for it."}
	isolate  = caution{"High voltage", "Isolate, lock off with your own lock, wait the maker's time, and prove dead before any cover comes off. Work on the high-voltage system is for people trained and, where law asks, licensed for it."}
	live     = caution{"Stays live", "The pack stays live on its own side of the contactors and the service disconnect, inside its boxes, always. Capacitors may hold charge. A welded contactor looks like an open one."}
	tester   = caution{"Tester", "Rated for the voltage and category, leads whole. Proved on a known source before and again after: a reading of zero from a tester that was not proved says nothing."}
	alone    = caution{"Not alone", "A second person stands by who knows how to cut off and call for help. Insulating gloves are in date and have been looked at; rings and watches are off."}
	lithium  = caution{"Lithium", "A cell that was struck, swollen, hot or wet is dangerous for days. Know where a burning pack could be moved to, and tell the fire service what it is."}
	torque   = caution{"Tightening", "A value without a source is not a value: leave the box empty. Single-use fasteners are new. What carries a load, a brake or a belt is checked by a second person."}
	level    = caution{"Scales", "Level and zeroed; wheels chocked only until the car stands; nobody beneath. State of the car and what is aboard go into the boxes, or the figure is worth little."}
	probe    = caution{"Old coatings", "Old paint may hold lead and underseal asbestos: no dry sanding to find a hole. Look behind panels with the fuel lines and loom in mind."}
	stacks   = caution{"Stores", "Heavy crates low. Airbags, fuel, linings and lithium cells lie apart as your law asks. Opening a sealed crate ends its seal: note both numbers."}
)

// The cautions of each job, in the order in which they matter.
var cautionsOf = map[string][]caution{
	StripDown.slug:  {support, heavy, isolate, live, battery, fuel, asbestos, pressure},
	Fitting.slug:    {support, heavy, isolate, live, battery, fuel, lithium},
	Tightening.slug: {support, torque, isolate, live},
	DeadTest.slug:   {isolate, live, tester, alone, lithium},
	Weighing.slug:   {level, support, isolate, live},
	HoleSurvey.slug: {support, probe, fuel, asbestos, isolate, live},
	StockTake.slug:  {stacks, heavy, fuel, asbestos},
}

// tickSide is how wide and high a box for a tick is: a gloved hand does not meet a smaller one.
const tickSide = 8.0

// cautions prints the cautions of the job, each with a box to tick, two beside each other.
func (f *form) cautions() {
	const indent, gap = 7.0, 2.0
	lineHeight := smallSize * 1.18
	top := f.y
	f.y += 5.6
	half := (f.width() - indent - gap) / 2
	f.book.Tag(page.Element{Role: page.Aside}, func() {
		f.text(side+indent, top+4.2, figure.Bold, tightSize, "Before you begin: tick what has been seen to")
		for pair := range slices.Chunk(cautionsOf[f.job.slug], 2) {
			height := tickSide
			for i, c := range pair {
				height = max(height, f.caution(side+indent+float64(i)*(half+gap), half-tickSide-gap-1.5, lineHeight, c))
			}
			f.y += height + 1
		}
		f.book.Tag(page.Element{Role: page.Paragraph}, func() {
			for _, l := range figure.Lines(figure.Bold, smallSize, f.width()-indent-2, local) {
				f.text(side+indent, f.y+smallSize*1.05, figure.Bold, smallSize, l)
				f.y += lineHeight
			}
		})
	})
	f.y += 1.6
	f.warningStripe(side, top, 4.5, f.y-top)
	f.frame(side, top, f.width(), f.y-top)
	f.y += 2.5
}

// caution prints one caution beside its box, and says how high it is.
func (f *form) caution(x, width, lineHeight float64, c caution) float64 {
	lines := figure.Lines(figure.Regular, smallSize, width, c.text)
	f.frame(x, f.y+0.3, tickSide, tickSide)
	x += tickSide + 2
	f.book.Tag(page.Element{Role: page.Paragraph}, func() {
		f.text(x, f.y+smallSize*0.95+0.2, figure.Bold, tightSize, c.kind+": ")
		for i, l := range lines {
			f.text(x, f.y+smallSize*0.95+float64(i+1)*lineHeight+0.2, figure.Regular, smallSize, l)
		}
	})
	return float64(len(lines)+1) * lineHeight
}

// cautionLine repeats the heads of the cautions on later pages.
func (f *form) cautionLine() {
	lines := figure.Lines(figure.Bold, smallSize, f.width()-9, f.job.cautionLine+". Sheet 1 has the words.")
	height := float64(len(lines))*smallSize*1.25 + 3
	f.warningStripe(side, f.y, 4.5, height)
	f.frame(side, f.y, f.width(), height)
	f.book.Tag(page.Element{Role: page.Aside}, func() {
		for i, l := range lines {
			f.text(side+7, f.y+1.5+smallSize*(0.95+float64(i)*1.25), figure.Bold, smallSize, l)
		}
	})
	f.y += height + 2.5
}
