package code

import (
	"strings"
	"testing"
)

const someDigest = "0f1e2d3c4b5a69788796a5b4c3d2e1f0aabbccddeeff00112233445566778899"

func TestAPrintedDigestIsReadBackHoweverItIsWritten(t *testing.T) {
	groups, err := PrintedDigest(someDigest)
	if err != nil || len(groups) != 8 {
		t.Fatal(groups, err)
	}
	for _, typed := range []string{someDigest, strings.ToUpper(someDigest), strings.Join(groups, " "), strings.Join(groups, "\n"), strings.ReplaceAll(strings.Join(groups, "-"), " ", "")} {
		if got, err := ParseDigest(typed); err != nil || got != someDigest {
			t.Errorf("%q is read as %q, %v", typed, got, err)
		}
	}
}

func TestEverySlipInAPrintedDigestIsCaught(t *testing.T) {
	groups, err := PrintedDigest(someDigest)
	if err != nil {
		t.Fatal(err)
	}
	whole := strings.ReplaceAll(strings.Join(groups, ""), " ", "")
	slips := 0
	for i := range whole {
		for _, c := range "0123456789abcdef" {
			if byte(c) != whole[i] {
				slips++
				refuseDigest(t, whole[:i]+string(c)+whole[i+1:])
			}
		}
		for j := i + 1; j < len(whole) && j/groupLength == i/groupLength && j%groupLength < groupDigits; j++ {
			if whole[i] != whole[j] {
				swapped := []byte(whole)
				swapped[i], swapped[j] = swapped[j], swapped[i]
				refuseDigest(t, string(swapped))
			}
		}
	}
	if slips != 80*15 {
		t.Errorf("%d slips were tried", slips)
	}
	groups[2], groups[5] = groups[5], groups[2]
	refuseDigest(t, strings.Join(groups, " "))
	refuseDigest(t, whole[:79])
	refuseDigest(t, someDigest[:63]+"g")
	if _, err := PrintedDigest("feed"); err == nil {
		t.Error("a digest of four digits is printed")
	}
	if !LikeDigest(whole[:79]) || LikeDigest("parts/tank") || LikeDigest(strings.Repeat("a", 300)) {
		t.Error("what is meant for a digest is not told from other words")
	}
}

func refuseDigest(t *testing.T, typed string) {
	t.Helper()
	if got, err := ParseDigest(typed); err == nil {
		t.Errorf("%s is read as %s", typed, got)
	}
}

func FuzzParseDigest(f *testing.F) {
	groups, err := PrintedDigest(someDigest)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(strings.Join(groups, " "))
	f.Add(someDigest)
	f.Fuzz(func(t *testing.T, typed string) {
		if got, err := ParseDigest(typed); err == nil {
			if _, err := PrintedDigest(got); err != nil {
				t.Fatalf("%q gives %q", typed, got)
			}
		}
	})
}
