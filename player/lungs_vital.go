package player

import (
	"fmt"
	"math"
)

// Sex chooses between the published equations; lungs differ at equal height.
type Sex string

// The two sets of equations.
const (
	Female Sex = "female"
	Male   Sex = "male"
)

// Ages that the equations hold for, in years (published: Hankinson, Odencrantz and
// Fedan, 1999), and heights that they are used for here, in centimeters (estimate).
const (
	leastAge, mostAge       = 8.0, 80.0
	leastHeight, mostHeight = 100.0, 220.0
)

// Estimated is the lungs of a player of an age in years, a height in centimeters
// and a sex, by the NHANES III equations for forced vital capacity: J. L.
// Hankinson, J. R. Odencrantz and K. B. Fedan, "Spirometric reference values from
// a sample of the general U.S. population", Am J Respir Crit Care Med 159 (1999)
// 179-187, the set with the most subjects. [LungsCaution] belongs beside the
// result.
func Estimated(age, heightCM float64, sex Sex) (Lungs, error) {
	switch {
	case math.IsNaN(age) || age < leastAge || age > mostAge:
		return Lungs{}, fmt.Errorf("age %g is outside the %g to %g years of the published equations; time a long tone instead, or give a measured capacity such as 4.5 L", age, leastAge, mostAge)
	case math.IsNaN(heightCM) || heightCM < leastHeight || heightCM > mostHeight:
		hint := ""
		if heightCM > 1 && heightCM < 2.5 {
			hint = " (are these meters?)"
		}
		return Lungs{}, fmt.Errorf("height %g cm is outside %g to %g%s; 172 is a usual adult height", heightCM, leastHeight, mostHeight, hint)
	case sex != Female && sex != Male:
		return Lungs{}, fmt.Errorf("there are equations for %q and %q, not for %q; a measured capacity needs none", Female, Male, sex)
	}
	return lungsOf(vitalCapacity(age, heightCM, sex), "equation: Hankinson et al., 1999"), nil
}

// vitalEquation is liters = constant + age*a + age2*a^2 + height2*h^2 with a in
// years and h in centimeters.
type vitalEquation struct{ constant, age, age2, height2 float64 }

// The equations and the ages from which a player counts as grown (published, same
// paper; the ages from memory).
var (
	grownMale   = vitalEquation{-0.1933, 0.00064, -0.000269, 0.00018642}
	youngMale   = vitalEquation{-0.2584, -0.20415, 0.010133, 0.00018642}
	grownFemale = vitalEquation{-0.3560, 0.01870, -0.000382, 0.00014815}
	youngFemale = vitalEquation{-1.2082, 0.05916, 0, 0.00014815}
)

const grownMaleAge, grownFemaleAge = 20.0, 18.0

// vitalCapacity is forced vital capacity in liters.
func vitalCapacity(age, heightCM float64, sex Sex) float64 {
	e := grownMale
	switch {
	case sex == Female && age < grownFemaleAge:
		e = youngFemale
	case sex == Female:
		e = grownFemale
	case age < grownMaleAge:
		e = youngMale
	}
	return e.constant + e.age*age + e.age2*age*age + e.height2*heightCM*heightCM
}
