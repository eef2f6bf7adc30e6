package sheet

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
