package entry

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/ledger"
)

// keepLeft are countries that drive on the left, where the offside is the right of the car. ISO 3166-1 two letters; UK is
// written for GB as often.
var keepLeft = []string{"GB", "UK", "IE", "AU", "NZ", "IN", "ZA", "JP", "MT", "CY", "HK", "MY", "SG", "KE"}

// Side says which side of the car, seen from the driver's seat, the trade's words mean, and what was assumed for it; "" for a
// side that the words and the car's record leave open, with the reason. Ok is false where the words name no side at all.
func (c Context) Side(words string) (side, assumed string, ok bool) {
	plain := strings.Join(strings.Fields(strings.NewReplacer("/", "", ".", "", "'", "", "’", "", "-", " ").Replace(strings.ToLower(words))), " ")
	plain = strings.TrimSpace(strings.TrimSuffix(plain, " side"))
	switch plain {
	case "left", "lh", "l", "left hand", "lhs":
		return "left", "", true
	case "right", "rh", "r", "right hand", "rhs":
		return "right", "", true
	case "centre", "center", "middle":
		return "centre", "", true
	case "both":
		return "both", "", true
	case "os", "offside", "off":
		return c.kerb(words, "right", "left")
	case "ns", "nearside", "near":
		return c.kerb(words, "left", "right")
	case "driver", "drivers", "passenger", "passengers":
		return c.seat(words, strings.HasPrefix(plain, "driver"))
	}
	return "", "", false
}

// kerb reads offside and nearside, which depend on the side of the road.
func (c Context) kerb(words, whereLeft, whereRight string) (side, assumed string, ok bool) {
	country := c.Country
	if c.Snapshot != nil {
		if _, car := c.Snapshot.Car(); len(car.Market) == 2 {
			country = strings.ToUpper(car.Market)
		}
	}
	switch {
	case country == "":
		return "", fmt.Sprintf("%s depends on the country, and neither the car's market nor the yard's country is stated: write left or right", words), true
	case slices.Contains(keepLeft, country):
		return whereLeft, fmt.Sprintf("%s is taken for the %s, as in %s traffic keeps left", words, whereLeft, country), true
	}
	return whereRight, fmt.Sprintf("%s is taken for the %s, as in %s traffic keeps right", words, whereRight, country), true
}

// seat reads the driver's and the passenger's side, which depend on the steering.
func (c Context) seat(words string, driver bool) (side, assumed string, ok bool) {
	steering := steeringOf(c.Snapshot)
	if steering != "left" && steering != "right" {
		return "", fmt.Sprintf("%s depends on the steering, and car.json does not say on which side that is: write left or right", words), true
	}
	side = steering
	if !driver {
		side = map[string]string{"left": "right", "right": "left"}[steering]
	}
	return side, fmt.Sprintf("%s is taken for the %s, as car.json has the steering on the %s", words, side, steering), true
}

func steeringOf(s *ledger.Snapshot) string {
	if s == nil {
		return ""
	}
	_, car := s.Car()
	return car.Steering
}

// Slug makes a piece of a path from what people call a thing: lower-case letters and digits, joined by dashes; "" where
// nothing of it can stand in a path.
func Slug(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			b.WriteRune(r)
		case plainLetters[r] != "":
			b.WriteString(plainLetters[r])
		case r != '\'' && r != '’' && b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	slug := b.String()
	if len(slug) > longestSlug {
		slug = slug[:longestSlug]
	}
	return strings.Trim(slug, "-")
}

// longestSlug leaves room for a day, a person and a number before and behind.
const longestSlug = 48

// plainLetters spells letters that paths do not have.
var plainLetters = map[rune]string{'ä': "ae", 'ö': "oe", 'ü': "ue", 'ß': "ss", 'å': "aa", 'æ': "ae", 'ø': "oe", 'é': "e", 'è': "e", 'ê': "e",
	'à': "a", 'á': "a", 'â': "a", 'ç': "c", 'ñ': "n", 'í': "i", 'ó': "o", 'ô': "o", 'ú': "u", 'ł': "l", 'š': "s", 'ž': "z", 'č': "c"}
