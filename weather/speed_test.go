package weather_test

import (
	"testing"
	"time"

	"sunrill/weather"
)

func BenchmarkNewTrack(b *testing.B) {
	y := yearFrom(wetPlace, 2016, time.October, 1)
	for b.Loop() {
		weather.NewTrack(wetPlace, y, 4)
	}
}

// BenchmarkCalibrate is the calibration on twelve years.
func BenchmarkCalibrate(b *testing.B) {
	r := madeRecord(wetPlace, 12, true)
	for b.Loop() {
		mustCalibrate(b, wetPlace, r, wetTable, weather.SkyOptions{Variability: 1})
	}
}

// BenchmarkFactors is a year of daily factors.
func BenchmarkFactors(b *testing.B) {
	r := madeRecord(wetPlace, 12, true)
	s := mustCalibrate(b, wetPlace, r, wetTable, weather.SkyOptions{Variability: 1})
	year := r.Slice(0, 365)
	var factors []float64
	for b.Loop() {
		factors = s.Factors(factors, year, 0)
	}
}

func BenchmarkHours(b *testing.B) {
	r := madeRecord(wetPlace, 2, true)
	s := mustCalibrate(b, wetPlace, r, wetTable, weather.SkyOptions{Variability: 1})
	tr := weather.NewTrack(wetPlace, yearFrom(wetPlace, 2008, time.October, 1), 4)
	factors := s.Factors(nil, r.Slice(0, 365), 0)
	var sky *weather.SkyHours
	for b.Loop() {
		sky = s.Hours(sky, tr, factors)
	}
}

func BenchmarkAirTemperature(b *testing.B) {
	r := madeRecord(wetPlace, 2, true).Slice(0, 365)
	tr := weather.NewTrack(wetPlace, yearFrom(wetPlace, 2008, time.October, 1), 4)
	var air []float64
	for b.Loop() {
		air = weather.AirTemperature(air, r.TMinC, r.TMaxC, tr)
	}
}
