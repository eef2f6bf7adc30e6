package workings

// The rules and tables of others on which sums rest, with how each is known. A
// source that names one stands here and nowhere else, in words that say what is
// taken from it; what is arithmetic or habit stands with its sum.
//
// Read is a text that was read, or the same provision word for word in a law that
// was. Second-hand is another text that reports it. Recalled is from memory alone:
// a second text was looked for and not found.
var (
	r100Separate  = Source{"UN R100 5.1.3.1", Read}
	r100Joined    = Source{"UN R100 5.1.3.2", Read}
	r100Voltmeter = Source{"UN R100 Annex 5A, 1.2.3.4", Read}
	r100Bonding   = Source{"UN R100 5.1.2.2; FMVSS 305 S5.4.2.1 and S9.2", Read}

	fmvssIsolation = Source{"FMVSS 305 S5.4.3.1", Read}
	fmvssInlet     = Source{"FMVSS 305 S5.4.3.3", Read}
	fmvssVoltmeter = Source{"FMVSS 305 S7.6.2 to S7.6.7 (its steps; the formula is that of UN R100, written otherwise)", Read}
	fmvssOpened    = Source{"FMVSS 305 S5.4.1.5 (60 V direct current)", Read}
	fmvssScope     = Source{"FMVSS 305 S3 (60 V direct current)", Read}

	r76          = Source{"limits of error by class as in the Non-automatic Weighing Instruments (EEC Requirements) Regulations 1995 (UK), schedule 2, 4.1 table 3, and twice those in service, 4.2; OIML R 76-1 has the same table", Read}
	guard        = Source{"ILAC-G8:09/2019, 4.2.2", Read}
	powerMeasure = Source{"UN R85 2.3 and 2.4: net power and maximum 30-minute power are measured figures", Read}

	gumSum      = Source{"JCGM 100:2008, 4.3.7 and 5.1.2, as guides of laboratories report it", SecondHand}
	gvwrSeat    = Source{"49 CFR 567.4(g)(3), as letters of the agency quote it", SecondHand}
	certifierNZ = Source{"80 kg a seat, as the association of New Zealand's certifiers is reported to take", SecondHand}
	cwtTable    = Source{"Weights and Measures Act 1985 (UK), part VI, and the American hundredweight of 100 lb, as reference books report them", SecondHand}
	tyreTable   = Source{"load index table of ETRTO and ISO 4000-1, from public copies that agree", SecondHand}
	tyreRule    = Source{"Directive 92/23/EEC, Annex IV 3.3.1, as reported: a tyre carries at least half of what its axle may", SecondHand}
	tyreSpeed   = Source{"UN R30, speed symbols, from public copies that agree", SecondHand}

	testVoltage  = Source{"ISO 6469-3 8.2.2, from an excerpt of AS ISO 6469.3:2014", SecondHand}
	crashVoltage = Source{"ISO 6469-4:2015 5.2.2 (the same limit), from an excerpt", SecondHand}
	crashEnergy  = Source{"ISO 6469-4:2015 5.2.3 (0.2 J), from an excerpt", SecondHand}
	windings     = Source{"IEEE 43-2013, as reported: the insulation of a winding halves for each 10 °C", SecondHand}
	copper       = Source{"IEC 60028, as reported: annealed copper, 0.017241 Ω for 1 m of 1 mm² at 20 °C, +0.393 % for each kelvin", SecondHand}

	iso6789Interval  = Source{"ISO 6789:2003, kept in ISO 6789-1:2017: 12 months or 5,000 cycles where no other interval is set", SecondHand}
	iso6789Deviation = Source{"ISO 6789, class A of adjustable wrenches, as a maker's handbook reports it: ±4 % above 10 N.m, ±6 % at and below it", SecondHand}
	iso6789Range     = Source{"ISO 6789-1:2017 5.1.3: the range begins at the lowest marked value", SecondHand}

	torqueLaw  = Source{"T = K · d · F, common practice", SecondHand}
	nutFactors = Source{"nut factors of steel 0.10 to 0.30 from makers' tables; the ranges overlap so widely that a surface does not fix one", SecondHand}
	iso898     = Source{"ISO 898-1, coarse thread, from makers' tables that agree", SecondHand}
	j429       = Source{"SAE J429, from makers' tables", SecondHand}

	bearingSrc = Source{"bearing of a bolt in sheet, F = f · d · t · R_m; f = 1.0 as the edge distance is not known, 2.5 at most (EN 1993-1-8, table 3.4, as design guides report it)", SecondHand}
	shearSrc   = Source{"shear of a bolt at 0.6 of its ultimate load on the stress area, 0.5 for class 10.9 (the same table), and for grade 8 by likeness", SecondHand}
	pullSrc    = Source{"pull-through, F = 0.6 · π · D · t · R_m round the washer (the same table, punching shear)", SecondHand}

	seatEU        = Source{"Regulation (EU) 2021/535, formerly 1230/2012: 75 kg for the driver, which is reported, and for each other seat, which is recalled", Recalled}
	seatAU        = Source{"Australian Design Rules, definitions: 68 kg and 13.6 kg of luggage a seat", Recalled}
	bondingStrong = Source{"ISO 6469-3, equipotential test with 25 A or more", Recalled}
	fusePractice  = Source{"fuse practice for direct current, the smallest current that a fuse breaks above all; ISO 8820-8 for road-vehicle high-voltage fuses", Recalled}
	unShock       = Source{"UN R100 Annex 8C/9C, shock corridor for M1 and N1 (20 g along, 8 g across)", Recalled}
	codeShock     = Source{"Australian code of practice for electric drive: 20 g is reported, the split 20/15/10/10 is recalled", Recalled}
)

// Sources lists the rules and tables of others on which sums rest.
func Sources() []Source {
	return []Source{
		r100Separate, r100Joined, r100Voltmeter, r100Bonding, fmvssIsolation, fmvssInlet, fmvssVoltmeter, fmvssOpened, fmvssScope, r76, guard, powerMeasure,
		gumSum, gvwrSeat, certifierNZ, cwtTable, tyreTable, tyreRule, tyreSpeed, testVoltage, crashVoltage, crashEnergy, windings, copper,
		iso6789Interval, iso6789Deviation, iso6789Range, torqueLaw, nutFactors, iso898, j429, bearingSrc, shearSrc, pullSrc,
		seatEU, seatAU, bondingStrong, fusePractice, unShock, codeShock,
	}
}
