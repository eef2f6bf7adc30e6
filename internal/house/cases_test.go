package house

import (
	"go/ast"
	"regexp"
	"slices"
	"testing"
)

// cases are the untidy things that records really hold, each by its number and in a few words. A test whose name begins
// with Test and the number says what the program makes of it. A number that is not here was never a case.
var cases = map[string]string{
	"C01": "one number in two writings", "C03": "a number damaged by a spreadsheet", "C04": "a plate of which a part can be read",
	"C06": "letters that look like figures", "C07": "characters added by an importer", "C08": "dashes on one paper and none on another",

	"C09": "a title on the engine's number", "C10": "a short number that is a stolen trailer's too", "C11": "an archive's certificate that agrees in part",
	"C12": "a number stamped where the maker riveted a plate", "C14": "a copy of the plate on the car",

	"C15": "axles and total that differ", "C17": "two weighings in unlike states", "C18": "hundredweights", "C20": "three kinds of mass",
	"C21": "a battery moved after the weighing", "C22": "ballast on and off", "C23": "a mass that the driver stated",

	"C24": "pound-inches and newton-metres", "C25": "metre-kilograms", "C26": "torque without its angle", "C27": "work after the calibration ran out",
	"C28": "a wrench found wrong afterwards",

	"C29": "a lower bound", "C31": "milli and mega", "C32": "ohm signs", "C33": "one pole without the other", "C34": "one reading, several rules", "C35": "two temperatures",

	"C36": "an odometer that turned over", "C38": "a distance in two units", "C39": "an odometer that stuck",

	"C40": "a date that reads two ways", "C42": "a signature after the licence", "C43": "a signature outside its scope", "C44": "a certificate for a mark with exchanged figures",
	"C45": "dates four years and a day off",

	"C46": "a photo of before that is after", "C48": "a photo that came by a messaging program", "C49": "a time without a zone",

	"C50": "one tag on two parts", "C52": "a part that a stock-take does not list", "C53": "originals sold by mistake", "C54": "a part that came back as another",
	"C55": "a label that faded", "C56": "sides in the words of a market",

	"C57": "holes said to be older", "C58": "a supplier's sheet that drills", "C59": "a hole opened further", "C60": "a loom unplugged and cut",

	"C61": "gross and net power", "C63": "a brake printout that does not recompute", "C64": "a brake test on the mass of a table", "C65": "toe without a unit",

	"C66": "two signs for one current", "C68": "cells read one after another", "C69": "a table of unknown dialect", "C71": "a serial with exchanged figures",
	"C72": "a loss in charging", "C73": "two answers for one part", "C74": "a settings file without its versions",
}

// caseName finds the case in the name of a test.
var caseName = regexp.MustCompile(`^Test(C[0-9]{2})(?:_|[A-Z])`)

func TestEveryUntidyCaseHasATestOfItsName(t *testing.T) {
	shown := map[string]bool{}
	for _, f := range goFiles(t) {
		if !f.isTest() {
			continue
		}
		for _, decl := range f.syntax.Decls {
			fn, ok := decl.(*ast.FuncDecl)
			if !ok || fn.Recv != nil || fn.Body == nil {
				continue
			}
			if m := caseName.FindStringSubmatch(fn.Name.Name); m != nil {
				if shown[m[1]] = true; cases[m[1]] == "" {
					t.Errorf("%s: %s is no case that is listed", f.at(fn), m[1])
				}
			}
		}
	}
	var missing []string
	for number, what := range cases {
		if !shown[number] {
			missing = append(missing, number+", "+what)
		}
	}
	slices.Sort(missing)
	for _, m := range missing {
		t.Errorf("no test is named for %s", m)
	}
}
