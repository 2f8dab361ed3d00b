package form_test

import (
	"testing"

	"ampwake/scenarios/form"
)

func BenchmarkLoad(b *testing.B) {
	src := []byte(good)
	for b.Loop() {
		var v voyage
		if _, err := sample().Load("x.yaml", src, nil, &v); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLoadWithOverrides(b *testing.B) {
	src := []byte(good)
	sets := form.Sets([]string{"bank.capacity=440 Ah", "loads[HF radio].draws=90 W"})
	for b.Loop() {
		var v voyage
		if _, err := sample().Load("x.yaml", src, sets, &v); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkOf(b *testing.B) {
	for b.Loop() {
		form.Of[voyage](glossary)
	}
}
