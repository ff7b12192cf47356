// Command otherwriter makes ../otherwriter.parquet with a Parquet library that
// shares no code with the one the reader uses: github.com/parquet-go/parquet-go
// v0.32.0. It covers pages of version 2, delta coded numbers and strings,
// dictionaries, four compressions, nulls, dates and a nested column. Run it in
// a module of its own; the project does not depend on that library.
package main

import (
	"fmt"
	"os"

	"github.com/parquet-go/parquet-go"
)

type row struct {
	ID       string   `parquet:"building_id,delta"`
	Wall     int64    `parquet:"wall_thickness_mm,delta"`
	Stone    string   `parquet:"stone_type,dict,zstd"`
	Zone     string   `parquet:"climate_zone,dict,gzip"`
	Exposure string   `parquet:"exposure,dict,snappy"`
	Timber   string   `parquet:"embedded_timber,brotli"`
	Height   *float64 `parquet:"height_m,optional"`
	Storeys  *int32   `parquet:"storeys,optional"`
	Listed   *bool    `parquet:"protected_facade,optional"`
	Survey   int32    `parquet:"last_survey,date"`
	Fuel     *string  `parquet:"heating_fuel,optional,dict"`
	Remark   string   `parquet:"remark"`
	Tags     []string `parquet:"tags,list"`
}

func main() {
	f, err := os.Create(os.Args[1])
	check(err)
	w := parquet.NewGenericWriter[row](f, parquet.DataPageVersion(2))
	for i := range 60 {
		height, storeys, listed, fuel := 5+float64(i%10)/2, int32(1+i%5), i%2 == 0, []string{"gas", "oil"}[i%2]
		r := row{
			ID: fmt.Sprintf("P%d", i), Wall: int64(300 + 10*i), Stone: []string{"granite", "brick_soft"}[i%2], Zone: "4A",
			Exposure: "severe", Timber: "none", Survey: 18000 + int32(i), Remark: fmt.Sprint("r", i%7), Tags: []string{"a"},
		}
		if i%3 > 0 {
			r.Height, r.Storeys = &height, &storeys
		}
		if i%4 > 0 {
			r.Listed, r.Fuel = &listed, &fuel
		}
		_, err := w.Write([]row{r})
		check(err)
		if i%25 == 24 {
			check(w.Flush()) // a new row group
		}
	}
	check(w.Close())
	check(f.Close())
}

func check(err error) {
	if err != nil {
		panic(err)
	}
}
