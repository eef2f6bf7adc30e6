package workings

import (
	"fmt"
	"go/ast"
	"go/parser"
	position "go/token"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// examples names for each sum the test that works it through with figures from
// its source, or by a route that shares nothing with it.
var examples = map[string]string{
	"AfterMove":        "TestAMoveIsWorkedOutBeforeItIsMadeFromTheLastWeighingAndThePartsSince",
	"Authority":        "TestC42_ASignatureTwoDaysAfterTheLicenceIsOutsideAuthority",
	"Bonding":          "TestBondingNeedsCurrentAndResolutionToBeEvidence",
	"Brake":            "TestC63_PrintedBrakeFiguresStayOfficialBesideWhatRecomputes",
	"Bridged":          "TestHalfAMegohmAndFiveMegohmsBridgedAre4545TenThousandthsOfAMegohm",
	"ByVoltmeter":      "TestTheVoltmeterMethodFindsTheWorsePoleAndNeverOverstatesIt",
	"CellSurvey":       "TestC68_CellsReadOneAfterAnotherUnderLoadShowNoImbalance",
	"CentreAcross":     "TestTheCentreAcrossFollowsTheHeavierSide",
	"CentreAlong":      "TestTheCentreIsWhereTheAxlesBalance",
	"CentreOnLift":     "TestAnEngineOutOfACarOnTheLiftMovesItsCentreBy227Millimetres",
	"ChargingLoss":     "TestC72_ChargingLossIsPlausibleAndMoreInThePackThanFromTheWallIsNot",
	"Consumption":      "TestTheRangeComesFromRunsThatStateTheirConditions",
	"DCDCBudget":       "TestTheBudgetCountsWhatRunsSteadily",
	"EnergyTotals":     "TestC66_EnergiesWithOppositeSignsAreNeverMixed",
	"Fallout":          "TestC27_WorkAfterTheCalibrationRanOutStandsAndIsNotEvidencedUntilCleared",
	"FuseCheck":        "TestAFuseIsHeldAgainstTheLargestAndTheSmallestFaultCurrent",
	"HandbookMass":     "TestSeventeenHundredweightTwoQuartersFourteenPoundsBritishAre895Kilograms",
	"Hours":            "TestHoursAreCountedByPurposeWithHandsAndNeverSplit",
	"InputTorque":      "TestAGearboxWithoutARatingIsEvidenceMissing",
	"Isolation":        "TestC34_TheVerdictNamesTheRuleItWasMadeUnder",
	"Joined":           "TestMoreSidesNeverInsulateBetter",
	"JoinedSides":      "TestPackSideAndLoadSideOf300KilohmsAt400VoltsAre375OhmsPerVoltJoined",
	"JointTightened":   "TestC24_PoundInchesSetInNewtonMetresPassAndAFactorOf12IsASuspicion",
	"LadenAxles":       "TestOccupantsLoadTheAxlesByMomentsInTheMarketsMass",
	"Lateness":         "TestFiguresThatContradictEachOtherSaySo",
	"MassChange":       "TestTheChangeOfAnAxleIsShownInSharePointsAndRelative",
	"MoveBetween":      "TestAPartMovesFromWhereItIsRecorded",
	"MoveMass":         "TestFiftyOneKilogramsMovedRearwardTakeAbout42FromTheFrontAxle",
	"OdometerSeries":   "TestC36_ALowerReadingIsAtLeastOneTurnOfTheOdometer",
	"PackOf":           "TestNinetySixInSeriesTwoSideBySideOfFiftyAmpereHoursAre35KilowattHours",
	"PaperDate":        "TestC40_ADateThatReadsTwoWaysKeepsBothCandidates",
	"PercentageChange": "TestC20_ARuleOfPercentagesUsesOnlyTheKindOfMassItNames",
	"PowerRatio":       "TestC61_GrossAndNetPowerGiveDifferentAnswers",
	"PreChargeCurve":   "TestPreChargeExampleOf350VoltsThousandMicrofarads50Ohms",
	"PredictedLoads":   "TestAPartOverAnAxleLoadsThatAxleAlone",
	"Preload":          "TestPreloadIsARangeOverTheNutFactorBand",
	"ProvedDead":       "TestProvedDeadAsksForThreeReadingsAndATestedTester",
	"RatedEnergy":      "TestRatedEnergyIsHeldAgainstVoltageTimesCapacity",
	"Reserve":          "TestAReserveIsTheRatingLessTheLoad",
	"Residual":         "TestTheVoltageMeasuredAtClosingIsHeldAgainstTheContactor",
	"RestraintIn":      "TestFourM8BoltsThroughOneMillimetreOfSheetFailInBearingThoughTheBoltsHold",
	"Sections":         "TestSectionsStayLiveAtTheirOwnVoltage",
	"Serials":          "TestC71_ASerialWithFiguresChangedOverStaysOpenUntilAPhoto",
	"StoreValue":       "TestAStoreIsValuedOverAllCarsAndSaysWhoseIsWhose",
	"TicketSum":        "TestC15_AxlesAndTotalDifferWithinRoundingAndServiceError",
	"TicketToday":      "TestC21_AResplitAfterTheTicketIsStaleForTheAxlesAndGoodForTheTotal",
	"Toe":              "TestC65_ToeWithoutAUnitIsAQuestionAndMinutesAreSixtieths",
	"Trend":            "TestC35_TemperatureIsCorrectedForWindingsAlone",
	"TyreLoad":         "TestTyresCarryTwiceTheirLoadIndex",
	"TyreSpeed":        "TestTheSpeedSymbolCoversTheTopSpeed",
	"Unseen":           "TestPartsThatNobodySawAreNotCalledLost",
	"Value":            "TestCurrenciesAreNeverMixed",
	"VoltageDrop":      "TestCopperOf16SquareMillimetresDropsByTheTextbook",
	"WaitingTime":      "TestTenMicrofaradsAt403VoltsHold081JoulesAndAreWaitedFor",
}

// withoutUnits are the sums in which no unit can be changed, and why.
var withoutUnits = map[string]string{
	"Authority": "days", "PaperDate": "a date", "Fallout": "days", "Unseen": "days", "Lateness": "days", "Hours": "times of day", "Serials": "numbers as read", "Value": "money", "StoreValue": "money",
	"HandbookMass":   "the unit is what it reads",
	"OdometerSeries": "the figures on the dial are the unit: TestC38_AConverterFittedUnloggedLeavesASegmentAsARange",
}

// sums lists the exported functions that return a working.
func sums(t *testing.T) []string {
	t.Helper()
	var list []string
	eachFunction(t, func(name string, f *ast.FuncDecl) {
		if strings.HasSuffix(name, "_test.go") || f.Recv != nil || !f.Name.IsExported() || f.Type.Results == nil || len(f.Type.Results.List) != 1 {
			return
		}
		if result, ok := f.Type.Results.List[0].Type.(*ast.Ident); ok && result.Name == "Working" {
			list = append(list, f.Name.Name)
		}
	})
	return list
}

func eachFunction(t *testing.T, visit func(file string, f *ast.FuncDecl)) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		file, err := parser.ParseFile(position.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range file.Decls {
			if f, ok := d.(*ast.FuncDecl); ok {
				visit(name, f)
			}
		}
	}
}

func TestEverySumHasAnExampleAndIsMadeInOtherUnits(t *testing.T) {
	tests := map[string]bool{}
	eachFunction(t, func(name string, f *ast.FuncDecl) { tests[f.Name.Name] = strings.HasSuffix(name, "_test.go") })
	all := sums(t)
	for _, sum := range all {
		if example := examples[sum]; !tests[example] {
			t.Errorf("%s has no example: %q is no test", sum, example)
		}
		if _, made := inAnyUnits[sum]; made == (withoutUnits[sum] != "") {
			t.Errorf("%s is either made in other units or has a reason why not", sum)
		}
	}
	for _, sum := range slices.Collect(maps.Keys(examples)) {
		if !slices.Contains(all, sum) {
			t.Errorf("there is no sum called %s", sum)
		}
	}
}

// The sentences that a reader gets where a sum has nothing to go on, a figure of
// another kind, words that are no figure, or a bound: for each sum and each figure
// that goes into it. They stand on file to be read.
func TestWhatGoesWrongIsSaidInTheSentencesOnFile(t *testing.T) {
	var b strings.Builder
	for _, name := range slices.Sorted(maps.Keys(inAnyUnits)) {
		sum := inAnyUnits[name]
		fmt.Fprintf(&b, "%s\n  nothing recorded: %s\n", name, said(sum(func(string) Input { return Input{} })))
		var texts []string
		sum(func(text string) Input { texts = append(texts, text); return Given(text) })
		for i, text := range texts {
			if i == 0 {
				fmt.Fprintf(&b, "  %s as 3 °C: %s\n  %s as “about so”: %s\n", text, said(sum(instead(i, "3 °C"))), text, said(sum(instead(i, "about so"))))
			}
			fmt.Fprintf(&b, "  %s as >%s: %s\n", text, text, said(sum(instead(i, ">"+text))))
		}
	}
	onFile(t, "testdata/sentences.txt", b.String())
}

// instead gives the figure at a place as another text.
func instead(place int, other string) func(string) Input {
	n := -1
	return func(text string) Input {
		if n++; n == place {
			text = other
		}
		return Given(text)
	}
}

// said is the answer and what else a reader must not miss.
func said(w Working) string {
	out := w.Answer + " [" + string(w.Worst()) + "]"
	for _, m := range w.Missing {
		if !strings.Contains(out, m) {
			out += " | " + m
		}
	}
	return out
}

func onFile(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("the sentences differ from %s; look at them after: go test ./internal/workings -update", file)
	}
}

func TestTheCentreIsWhereTheAxlesBalance(t *testing.T) {
	// A car of 900 kg with its centre at 1.15 m on 2.30 m carries half on each axle.
	about(t, CentreAlong("x", Weighing{Front: Given("450 kg"), Rear: Given("450 kg")}, Given("2.30 m")).Value, 1150, "mm", 1e-9)
	// One with all on the rear axle has it there.
	about(t, CentreAlong("x", Weighing{Front: Given("0 kg"), Rear: Given("450 kg")}, Given("2.30 m")).Value, 2300, "mm", 1e-9)
}

func TestAPartOverAnAxleLoadsThatAxleAlone(t *testing.T) {
	for place, want := range map[string][2]float64{"0 mm": {490, 520}, "2310 mm": {480, 530}, "1155 mm": {485, 525}, "-1155 mm": {495, 515}} {
		w := PredictedLoads("x", ticket("480 kg", "520 kg", "1000 kg", "1 kg"), Given("2310 mm"), []Fitted{{"box", 1, Given("10 kg"), Given(place)}}, nil)
		about(t, resultOf(w, "l_F"), want[0], "kg", 1e-6)
		about(t, resultOf(w, "l_R"), want[1], "kg", 1e-6)
	}
}

func TestAReserveIsTheRatingLessTheLoad(t *testing.T) {
	w := Reserve("x", "rear axle", Given("806 kg"), Given("1980 lb"))
	about(t, w.Value, 1980*0.45359237-806, "kg", 1e-9)
	about(t, lineOf(t, w, "R"), 898.1, "kg", 0.05)
	says(t, outcome(t, Reserve("x", "rear axle", Given("700 ±2 kg"), Given("690 kg")), "rear axle", NotMet).Reason, "690 kg")
}
