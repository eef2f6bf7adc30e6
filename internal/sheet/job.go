package sheet

// Job is a kind of work that has a sheet.
type Job struct {
	slug, title string
	// cautionLine stands on every page after the first.
	cautionLine string
	// zoned work is done on a zone of the car, for a purpose.
	zoned bool
}

// The jobs.
var (
	StripDown  = Job{"strip-down", "Strip-down", "Support · lifting · isolate, lock off, prove dead · pack stays live · 12 V off · fuel vapour · asbestos · springs, gas", true}
	Fitting    = Job{"fitting", "Fitting", "Support · lifting · isolate, lock off, prove dead · pack stays live · 12 V off · fuel vapour · lithium", true}
	Tightening = Job{"tightening", "Tightening", "Support · values only with a source · second check · isolate, lock off, prove dead · pack stays live", true}
	DeadTest   = Job{"dead-test", "Proving dead", "Isolate · lock off · wait · prove the tester, the circuit, the tester again · pack stays live · not alone", false}
	Weighing   = Job{"weighing", "Weighing", "Level scales · nobody beneath · state of the car written down · pack stays live", false}
	HoleSurvey = Job{"hole-survey", "Hole survey", "Support · lead and asbestos in old coatings · fuel lines and loom behind panels · pack stays live", true}
	StockTake  = Job{"stock-take", "Stock-take", "Heavy crates low · a seal ends when its crate is opened · fuel and asbestos lie apart", false}
)

// Jobs lists the jobs in the order in which a car meets them.
func Jobs() []Job {
	return []Job{StripDown, Fitting, Tightening, DeadTest, Weighing, HoleSurvey, StockTake}
}

// Name is the job's name in commands and codes, such as "strip-down".
func (j Job) Name() string { return j.slug }

// Title is the job's name on paper.
func (j Job) Title() string { return j.title }
