package browser

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
)

// TestScreens opens every screen at the widths of a phone, a tablet and a desk.
func TestScreens(t *testing.T) {
	for _, width := range []int64{1440, 820, 360} {
		t.Run(fmt.Sprint(width), func(t *testing.T) {
			b := open(t, "demo", width, 900)
			b.until("document.querySelectorAll('article .line > div > svg').length === 3")
			b.shoot(fmt.Sprintf("parts-%d", width))
			b.press("Harbor Parade")
			b.staff()
			if over := eval[float64](b, "document.documentElement.scrollWidth - innerWidth"); over > 0 {
				t.Errorf("the page is %v px wider than the window", over)
			}
			b.shoot(fmt.Sprintf("page-%d", width))
			b.do(chromedp.Sleep(0))
		})
	}
}
