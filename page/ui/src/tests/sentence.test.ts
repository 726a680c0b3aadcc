import { expect, it } from 'vitest'
import { saidOf, sentence } from '../curves/sentence'
import type { BandCompare } from '../curves/types'

const band: BandCompare = {
  band: '400',
  stated_hz: 400,
  predicted_hz: 398.9,
  measured_hz: 420.4,
  centre_off_percent: 5.52,
  predicted_boost_db: 9.94,
  measured_boost_db: 9.94,
  boost_off_db: 0.001,
  predicted_cut_db: -9.98,
  measured_cut_db: -9.99,
  cut_off_db: -0.01,
  off: true,
}

it('says what was measured and whether it holds', () => {
  expect(sentence(band)).toBe(
    '400: centre 420.4 Hz, +5.5 % against the predicted 398.9 Hz; boost +9.94 dB (0.00 dB); cut −9.99 dB (−0.01 dB); beyond the limits.',
  )
  expect(sentence({ ...band, off: false, measured_cut_db: null, cut_off_db: null, centre_off_percent: null })).toBe(
    '400: centre 420.4 Hz; boost +9.94 dB (0.00 dB); as predicted.',
  )
})

it('says that nothing was measured', () => {
  const nothing = { measured_hz: null, measured_boost_db: null, measured_cut_db: null }
  expect(sentence({ ...band, ...nothing })).toBe('400: not measured.')
})

it('finds what is said of one band of one unit', () => {
  const f = (unit: string, at: string) => ({ id: 'bench.band-off', level: 'warning' as const, place: { band: at }, args: { unit }, say: unit + at })
  expect(saidOf([f('A', '400'), f('B', '400'), f('B', '63')], 'B', '400').map((x) => x.say)).toEqual(['B400'])
})
