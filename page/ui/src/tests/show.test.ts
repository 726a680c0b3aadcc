import { expect, it } from 'vitest'
import { decibels, deviation, hertz, partValue, percent, shown } from '../show'

it.each([
  [4700, 'Ω', '4.7 kΩ'],
  [0.05, 'Ω', '0.05 Ω'],
  [0.005, 'Ω', '5 mΩ'],
  [999.99, 'Ω', '1 kΩ'],
  [2.2e-6, 'F', '2.2 µF'],
  [0.0047, 'F', '4700 µF'],
  [1.512e-7, 'F', '151.2 nF'],
  [1.2e-10, 'F', '120 pF'],
  [2.72, 'H', '2.72 H'],
  [0.409, 'H', '409 mH'],
  [1000, 'Hz', '1 kHz'],
  [-0.5, 'V', '−500 mV'],
  [0, 'V', '0 V'],
])('%d %s is written %s', (value, unit, want) => expect(shown(value, unit)).toBe(want))

it('writes parts by their kind, and nothing for none', () => {
  expect(partValue('coil', 0.39)).toBe('390 mH')
  expect(partValue('capacitor', 3.94e-7)).toBe('394 nF')
  expect(partValue('resistor', 330)).toBe('330 Ω')
  expect(partValue('coil', undefined)).toBe('')
})

it('writes what bands are spoken of in', () => {
  expect(hertz(62.586)).toBe('62.6 Hz')
  expect(hertz(2517.4)).toBe('2517 Hz')
  expect(decibels(10.52)).toBe('+10.52 dB')
  expect(decibels(-0.001)).toBe('0.00 dB')
  expect(deviation(-5.52)).toBe('−5.5 %')
  expect(percent(0.504)).toBe('50.4 %')
})
