package ingest

import (
	"context"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
)

// rescue reads row by row the batch of n rows that could not be read at once,
// and returns those before the damage, nil if there are none.
func (p *parquetFile) rescue(ctx context.Context, n int64) (rec arrow.Record) {
	good := n
	for k := range p.fields {
		var have int64
		guard(func() error {
			cols, err := p.open(ctx, p.group-1)
			defer release(cols)
			if err != nil || p.skipRows(cols[k:k+1]) != nil {
				return err
			}
			for ; have < good; have++ {
				p.mem.renew()
				a, err := p.readColumn(cols[k], 1)
				if err != nil {
					return err
				}
				a.Release()
			}
			return nil
		})
		good = min(good, have)
	}
	if good == 0 {
		return nil
	}
	guard(func() error {
		cols, err := p.open(ctx, p.group-1)
		defer release(cols)
		if err != nil {
			return err
		}
		if err := p.skipRows(cols); err != nil {
			return err
		}
		p.mem.renew()
		rec, err = p.read(cols, good)
		return err
	})
	return rec
}

// skipRows passes over the rows of the group that were read before.
func (p *parquetFile) skipRows(cols []*pqarrow.ColumnReader) error {
	for done := int64(0); done < p.inGroup; {
		n := min(p.inGroup-done, int64(p.src.opt.BatchRows))
		for _, c := range cols {
			p.mem.renew()
			a, err := p.readColumn(c, n)
			if err != nil {
				return err
			}
			a.Release()
		}
		done += n
	}
	return nil
}

func release(cols []*pqarrow.ColumnReader) {
	for _, c := range cols {
		guard(func() error { c.Release(); return nil })
	}
}
