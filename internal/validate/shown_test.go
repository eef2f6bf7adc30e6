package validate

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"boltback/internal/record"
)

// sought makes a search for values that lie in the folder of one car.
func sought(t testing.TB, values ...string) *Search {
	t.Helper()
	var all []Sought
	for _, v := range values {
		file, err := record.Disclosure{Salt: strings.Repeat("5a", 16), Ledger: "l", Path: "transfers/2026-01-01-a.json", Pointer: "/price", Value: v}.Encode()
		if err != nil {
			t.Fatal(err)
		}
		if one, ok := SoughtFrom(file, "tern", "x.json"); ok {
			all = append(all, one)
		}
	}
	return NewSearch(all)
}

func secretOnly(Sought) bool { return false }

// TestAShownPrivateValueIsNamedAtItsLineAndColumnAndNeverRepeated has one text a row, and where in it the value begins.
func TestAShownPrivateValueIsNamedAtItsLineAndColumnAndNeverRepeated(t *testing.T) {
	values := sought(t, "Quillon Marsh-Invented", "8815 GBP", "Zoë Vane-Invented")
	tests := []struct{ about, text, place string }{
		{"a note", "{\n  \"kind\": \"part\",\n  \"note\": \"from Quillon Marsh-Invented, by hand\"\n}\n", "3:17"},
		{"other white space and capitals", "{\n  \"note\": \"QUILLON   marsh invented\"\n}\n", "2:12"},
		{"over two texts", "{\n  \"name\": \"Quillon\",\n  \"note\": \"Marsh-Invented\"\n}\n", ""},
		{"the name of a member", "{\n  \"quillon-marsh-invented\": 1\n}\n", "2:4"},
		{"escaped letters", "{\n  \"note\": \"Quill\\u006fn Marsh-Invented\"\n}\n", "2:11"},
		{"escaped letters in the name of a member", "{\n  \"Quill\\u006fn Marsh-Invented\": 1\n}\n", "2:3"},
		{"escaped letters in a list", "{\n  \"l\": [\n    \"x\",\n    \"Quill\\u006fn Marsh-Invented\"\n  ]\n}\n", "4:5"},
		{"letters composed otherwise", "{\n  \"note\": \"Zoe\u0308 Vane-Invented\"\n}\n", "2:12"},
		{"a price", "{\n  \"note\": \"paid 8815 GBP\"\n}\n", "2:17"},
		{"a longer number", "{\n  \"note\": \"paid 88150 GBP\"\n}\n", ""},
		{"half a name", "{\n  \"note\": \"from Quillon Marsh\"\n}\n", ""},
		{"words parted by an escaped line end", "{\n  \"note\": \"from Quillon\\nMarsh-Invented\"\n}\n", "2:11"},
		{"broken JSON", "{ \"note\": \"Quillon Marsh-Invented", "1:12"},
		{"broken JSON with an escape", "{ \"note\": \"Quill\\u006fn Marsh-Invented", ""},
	}
	for _, tt := range tests {
		found := values.ShownIn("parts/a.json", []byte(tt.text), secretOnly)
		got := ""
		if found != nil {
			got = found.String() + " " + found.Hint
		}
		want := ""
		if tt.place != "" {
			want = "parts/a.json:" + tt.place + ": "
		}
		if !strings.HasPrefix(got, want) || (want == "") != (got == "") {
			t.Errorf("%s: %q, want it at %s", tt.about, got, want)
		}
		if strings.Contains(strings.ToLower(got), "quillon") || strings.Contains(got, "8815") || strings.Contains(got, "Vane") {
			t.Errorf("%s: the message repeats the value: %s", tt.about, got)
		}
		if want != "" && !strings.Contains(got, "private/tern/x.json") {
			t.Errorf("%s: nothing says where to look: %s", tt.about, got)
		}
	}
}

// TestASingleWordIsToldFromWhatIsSureToBeMeant or a keeper called Porter would forbid the word in every car of the yard.
func TestASingleWordIsToldFromWhatIsSureToBeMeant(t *testing.T) {
	for value, one := range map[string]bool{"Porter": true, "Quillon Porter": false, "01632960417": false, "Marsh-Invented": false} {
		for _, list := range sought(t, value).phrases {
			if list[0].OneWord != one {
				t.Errorf("%s: one word is %v", value, list[0].OneWord)
			}
		}
	}
	if short := sought(t, "1967", "A-B", "Porter"); len(short.phrases) != 1 {
		t.Errorf("%d are looked for, want the word and not what is too short", len(short.phrases))
	}
	if _, ok := SoughtFrom([]byte("[1]"), "x", "y"); ok {
		t.Error("what is no disclosure is looked for")
	}
}

// TestASealedNumberIsKnownInAnySpacing has a value a row, texts that show it, and texts that do not: other numbers, longer ones, and
// days and sums that have some of its figures.
func TestASealedNumberIsKnownInAnySpacing(t *testing.T) {
	tests := []struct {
		value       string
		shown, open []string
	}{
		{"+44 1632 960417", []string{"01632 960417", "01632-960-417", "(01632) 960 417", "+441632960417", "0044 1632 960417", "+44 (0)1632 960417", "ring 01632/96.04.17.", "01632\u2011960417"},
			[]string{"01632 960418", "960417", "1632 9604170", "16329604", "61632 960 41 7x"}},
		{"01632 960417", []string{"+44 1632 960417", "+44-1632-960417", "1632960417", "+441632960417"}, []string{"01632 96041", "7701632 9604178"}},
		{"+441632960417", []string{"01632 960417", "+44 1632 960 417"}, []string{"02632 960418", "960417"}},
		{"GB29 NWBK 6016 1331 9268 19", []string{"GB29NWBK60161331926819", "gb29-nwbk-6016-1331-9268-19", "IBAN GB29 NWBK60161331 926819"}, []string{"GB29 NWBK", "GB29NWBK601613319268190", "6016 1331 9268 19"}},
		{"HJV 472", []string{"HJV472", "hjv-472", "H.J.V. 472"}, []string{"HJV 427", "HJV 4720", "XHJV 472"}},
		{"1E 10432 BW", []string{"1E10432BW", "*1E 10432-BW*"}, []string{"1E 10432", "10432 BW", "1E 10423 BW"}},
		{"14750 GBP", []string{"14,750 GBP", "GBP 14750", "14750GBP", "14 750 gbp"}, []string{"14750 EUR", "114,750 GBP", "147 50"}},
		{"750104-18832", []string{"75010418832", "750104 18832"}, []string{"750104", "2075-01-04 18832"}},
		{"19670512", []string{"19670512"}, []string{"1967-05-12", "1967 05 12", "born 1967.05.12"}},
		{"4 Quarry Row", []string{"4, quarry row"}, []string{"4quarryrow", "14 Quarry Row"}},
		{"Porter 123", []string{"porter-123"}, []string{"porter123", "Porter 1234"}},
		{"Vicolo dei Setacci 9", []string{"vicolo dei setacci, 9", "vi\u00adcolo dei se\u200btacci 9"}, []string{"vicolo dei setacci 19"}},
	}
	for _, tt := range tests {
		values := sought(t, tt.value)
		for _, text := range tt.shown {
			if _, at, shown := values.Shows("the part, "+text+", in words", secretOnly); !shown || at < 10 {
				t.Errorf("%s is not seen in %q (at %d)", tt.value, text, at)
			}
		}
		for _, text := range tt.open {
			if _, _, shown := values.Shows("the part, "+text+", in words", secretOnly); shown {
				t.Errorf("%s is seen in %q", tt.value, text)
			}
		}
	}
}

// TestASearchForManyValuesIsOneWalkOverTheText counts what is done for a text, not the time: a thousand times the values take no more
// looks than one.
func TestASearchForManyValuesIsOneWalkOverTheText(t *testing.T) {
	text := strings.Repeat("cleaned, no cracks, thread good; 47 N.m at the 4 bolts of 2026-03-02; ", 200)
	looks := func(n int) (looked float64) {
		values := sought(t, many(n)...)
		return testing.AllocsPerRun(3, func() { values.Shows(text, secretOnly) })
	}
	if few, lots := looks(3), looks(3000); lots > 2*few+10 {
		t.Errorf("3 values take %v allocations, 3,000 take %v", few, lots)
	}
}

// many gives private values as a large yard has them: names, addresses, prices and telephone numbers.
func many(n int) []string {
	var values []string
	for i := range n {
		values = append(values, []string{fmt.Sprintf("Quillon %c%c Marsh %d-Invented", 'a'+i%26, 'a'+i/26%26, i), fmt.Sprintf("%d Quarry Row, Nether Sallow", i), fmt.Sprintf("%d GBP", 5000+i), fmt.Sprintf("+44 1632 %06d", i)}[i%4])
	}
	return values
}

// BenchmarkSearchForPrivateValues looks for the values of a large yard in the records of one car, 1,000 of 1.5 kB. Its peer is
// grep -F -f over the same text and values, whose time is given as a ratio where grep is here.
func BenchmarkSearchForPrivateValues(b *testing.B) {
	text := strings.Repeat(strings.Repeat("cleaned, no cracks, thread good; 47 N.m at the 4 bolts of 2026-03-02; ", 21)+"\n", 1000)
	for _, n := range []int{10, 1000, 10000} {
		values := many(n)
		s := sought(b, values...)
		b.Run(fmt.Sprintf("%d values", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, _, shown := s.Shows(text, secretOnly); shown {
					b.Fatal("shown")
				}
			}
			file := filepath.Join(b.TempDir(), "values")
			if os.WriteFile(file, []byte(strings.Join(values, "\n")+"\n"), 0o600) != nil {
				return
			}
			began := time.Now()
			grep := exec.Command("grep", "-c", "-i", "-F", "-f", file)
			grep.Stdin = strings.NewReader(text)
			if _, err := grep.Output(); grep.ProcessState != nil && grep.ProcessState.ExitCode() <= 1 && (err == nil || grep.ProcessState.ExitCode() == 1) {
				b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(time.Since(began).Nanoseconds()), "x-grep")
			}
		})
	}
}

func TestWhatIsSaidOpenlyIsNotRefused(t *testing.T) {
	values := sought(t, "Ines Okafor", "Quillon Marsh")
	open := func(v Sought) bool { return v.Words == "ines okafor" }
	if f := values.ShownIn("people/a/b/person.json", []byte(`{"name": "Ines Okafor"}`), open); f != nil {
		t.Error(f)
	}
	if f := values.ShownIn("people/a/b/person.json", []byte(`{"name": "Ines Okafor", "note": "knows Quillon Marsh"}`), open); f == nil {
		t.Error("the other value is not seen behind one that is said openly")
	}
}
