package site

import (
	"sunrill/sim/files"
	"sunrill/sim/measure"
	"sunrill/sources/windmill"
)

// windmill reads [windmill].
func (l *loader) windmill() {
	t := l.Table("windmill")
	if t == nil {
		return
	}
	l.site.Windmill = &windmill.Mill{PowerW: t.Quantity("power", measure.Powers, 0, 1e5, files.Need("what it gives, hour after hour: power = \"60 W\""))}
	t.Done()
}
