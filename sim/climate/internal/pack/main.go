// Command pack makes the files that package climate embeds from the tables
// under testdata/climate and from the beta distribution.
//
//	go run ./internal/pack      in sim/climate, or: go generate ./sim/climate
//
// The layout of each file is described where it is written; the same input
// gives the same bytes.
package main

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"encoding/binary"
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
)

func main() {
	if err := run("../../testdata/climate", "."); err != nil {
		fmt.Fprintln(os.Stderr, "pack:", err)
		os.Exit(1)
	}
}

func run(from, to string) error {
	ocean, err := packOcean(filepath.Join(from, "ocean_climate.csv.gz"))
	if err != nil {
		return err
	}
	land, err := packLand(filepath.Join(from, "land_mask_1deg.txt"))
	if err != nil {
		return err
	}
	for name, data := range map[string][]byte{"ocean.bin": ocean, "land.bin": land, "cloud.bin": packCloud()} {
		if err := os.WriteFile(filepath.Join(to, name), data, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// The grid of the climate table: cell centres 66°S..70°N by 4°, 0°..355°E by 5°.
const (
	rows, columns = 35, 72
	rowBytes      = 7
)

// packOcean writes rows x columns x 12 months, southernmost row first, January
// first, seven bytes each:
//
//	0    mean wind speed, 0.1 m/s
//	1, 2 mean wind vector toward east and toward north, 0.1 m/s, signed
//	3    cloud, 1 %
//	4, 5 little endian: sea temperature + 2 °C in 0.1 °C (9 bits), then
//	     sea - air + 4 °C in 0.1 °C (7 bits)
//	6    bit 7: the cell is in the table; bits 0..3: the wind speed, the cloud,
//	     the air or the sea was filled from the neighbours, not observed
//
// All values of the source fit without loss. Absent cells are zero.
func packOcean(path string) ([]byte, error) {
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, err
	}
	zip, err := gzip.NewReader(bytes.NewReader(raw))
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	records, err := csv.NewReader(zip).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	if got, want := strings.Join(records[0], ","), "lat,lon,month,ocean_pct,wspd,u,v,cloud,tair,sst,src"; got != want {
		return nil, fmt.Errorf("%s: header %q, want %q", path, got, want)
	}
	out := make([]byte, rows*columns*12*rowBytes)
	for n, r := range records[1:] {
		var x [10]float64
		for i := range x {
			if x[i], err = strconv.ParseFloat(r[i], 64); err != nil {
				return nil, fmt.Errorf("%s:%d: %w", path, n+2, err)
			}
		}
		sea, air := tenths(x[9]), tenths(x[8])
		cell := (int(x[0])+66)/4*columns + int(x[1])/5
		p := out[(cell*12+int(x[2])-1)*rowBytes:]
		for _, f := range []struct{ value, least, most int }{
			{tenths(x[4]), 1, 255},
			{tenths(x[5]), -128, 127},
			{tenths(x[6]), -128, 127},
			{int(math.Round(100 * x[7])), 0, 100},
			{sea + 20, 0, 511},
			{sea - air + 40, 0, 127},
		} {
			if f.value < f.least || f.value > f.most {
				return nil, fmt.Errorf("%s:%d: %d does not fit in %d..%d", path, n+2, f.value, f.least, f.most)
			}
		}
		p[0], p[1], p[2] = byte(tenths(x[4])), byte(int8(tenths(x[5]))), byte(int8(tenths(x[6])))
		p[3] = byte(math.Round(100 * x[7]))
		binary.LittleEndian.PutUint16(p[4:], uint16(sea+20)|uint16(sea-air+40)<<9)
		p[6] = 1 << 7
		for bit, letter := range []int{0, 2, 3, 4} { // source letters: speed, vector, cloud, air, sea
			if r[10][letter] == 'F' {
				p[6] |= 1 << bit
			}
		}
	}
	return out, nil
}

func tenths(x float64) int { return int(math.Round(10 * x)) }

// packLand writes one bit for each 1° square, set on land: northernmost row
// first, each from 180°W eastward, highest bit first.
func packLand(path string) ([]byte, error) {
	file, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer func() { _ = file.Close() }() // only read
	out := make([]byte, 0, 180*360/8)
	lines := bufio.NewScanner(file)
	for lines.Scan() {
		line := lines.Text()
		if strings.HasPrefix(line, ";") {
			continue
		}
		if len(line) != 360 {
			return nil, fmt.Errorf("%s: a row has %d squares, want 360", path, len(line))
		}
		for i := 0; i < 360; i += 8 {
			var b byte
			for k := range 8 {
				b <<= 1
				if line[i+k] == '#' {
					b |= 1
				}
			}
			out = append(out, b)
		}
	}
	if len(out) != 180*360/8 {
		return nil, fmt.Errorf("%s: %d bytes, want %d", path, len(out), 180*360/8)
	}
	return out, lines.Err()
}
