package page

import (
	"wallsift/screen"
	"wallsift/screen/report"
)

// WriteChanged is Write with rows changed on their way to the page.
func WriteChanged(dir string, in report.Results, change func(building uint32, row *screen.Row)) error {
	return write(dir, in, func(order []uint32, f func(uint32, *screen.Row) error) error {
		return in.Run.Each(order, func(i uint32, row *screen.Row) error {
			change(i, row)
			return f(i, row)
		})
	})
}
