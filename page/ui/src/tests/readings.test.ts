import { describe, expect, it } from 'vitest'
import { cause, type Fault } from '../readings/cause'
import { entered, planText, put, readingAt, written, type Spot } from '../readings/entry'
import { ohmsText, spanText, voltsText, waitText } from '../readings/show'
import type { Draft, OpenJob } from '../state'
import type { JobView } from '../types'
import { sayOf } from '../volts/stages'

const viewOf = (more: Record<string, unknown>): JobView => ({ title: 'a job', invented: true, band: [], ...more })
const spot: Spot = { kind: 'ohms', red: 'tap', black: 'in', setting: 'flat', stage: 'complete' }
const one = { kind: 'ohms', red: 'tap', black: 'in', value: '0.1', stage: 'complete' }

describe('readings in the job', () => {
  it('go to the end of the list, with what is ground or flat left out', () => {
    const edits = put(viewOf({ reading: [one] }), { ...spot, red: 'rail', black: '0' }, '412 V')
    expect(edits.map((e) => [e.path.join('.'), e.value])).toEqual([
      ['reading.1.kind', 'ohms'],
      ['reading.1.red', 'rail'],
      ['reading.1.value', '412 V'],
      ['reading.1.stage', 'complete'],
    ])
  })

  it('of one place are one, whichever way round the leads are', () => {
    const view = viewOf({ reading: [{ ...one, stage: 'loose' }, one] })
    expect(put(view, spot, '0.2')).toEqual([{ path: ['reading', '1', 'value'], value: '0.2' }])
    expect(put(view, { ...spot, red: 'in', black: 'tap' }, '0.2')).toEqual([{ path: ['reading', '1', 'value'], value: '0.2' }])
    expect(put(view, spot, '0.1')).toEqual([])
  })

  it('of volts have a sign: the leads exchanged is another place', () => {
    const view = viewOf({ reading: [{ ...one, kind: 'volts' }] })
    expect(put(view, { ...spot, kind: 'volts', red: 'in', black: 'tap' }, '3')).toHaveLength(5)
  })

  it('are taken out by a blank, and a blank of none is nothing', () => {
    expect(put(viewOf({ reading: [one] }), spot, '')).toEqual([{ path: ['reading', '0'], value: '', remove: true }])
    expect(put(viewOf({}), spot, '')).toEqual([])
  })

  it('the later of two at one place counts', () => {
    const list = entered(viewOf({ reading: [one, { ...one, value: '0.9' }] }))
    expect(readingAt(list, spot)?.value).toBe('0.9')
  })

  it('are written as the command takes them', () => {
    const gain = { kind: 'gain', at: '63 Hz', setting: '63=+1', value: '10.1 dB', stage: 'bench' }
    const volts = { kind: 'volts', red: 'ht', value: '398 V', stage: 'mains' }
    expect(entered(viewOf({ reading: [one, gain, volts] })).map(written)).toEqual(['ohms tap in 0.1', 'gain 63 Hz 10.1 dB at 63=+1', 'volts ht 398 V'])
  })
})

describe('the text a list is planned of', () => {
  const draft = (text: string, more: Record<string, unknown>): Draft => ({ text, view: viewOf(more), findings: [], what: '' })
  const open = (drafts: Draft[], at: number): OpenJob => ({
    id: 'job', drafts, at, saved: { text: '', version: '' }, saving: null, trouble: null, conflict: null, restored: false,
  })
  const drafts = [draft('a', { run: 1 }), draft('b', { run: 2 }), draft('c', { run: 2, reading: [one] }), draft('d', { run: 2, reading: [one, one] })]

  it('is the first that differs in readings alone', () => {
    expect(planText(open(drafts, 3))).toBe('b')
    expect(planText(open(drafts, 1))).toBe('b')
    expect(planText(open(drafts, 0))).toBe('a')
  })

  it('is the text itself where it does not open', () => {
    expect(planText(open([{ text: 'x', view: null, findings: [], what: '' }], 0))).toBe('x')
  })
})

describe('stages of a first power-up', () => {
  it('are entered, changed and taken back', () => {
    expect(sayOf(viewOf({}), 'bench', { signed: '', skipped: 'no supply' }).map((e) => [e.path.join('.'), e.value])).toEqual([
      ['volts.stage.0.stage', 'bench'],
      ['volts.stage.0.skipped', 'no supply'],
    ])
    const view = viewOf({ volts: { stage: [{ stage: 'bench', skipped: 'no supply' }] } })
    expect(sayOf(view, 'bench', { signed: 'me', skipped: '' })).toEqual([
      { path: ['volts', 'stage', '0', 'signed'], value: 'me' },
      { path: ['volts', 'stage', '0', 'skipped'], value: '' },
    ])
    expect(sayOf(viewOf({}), 'bench', { signed: '', skipped: '' })).toEqual([])
  })
})

describe('causes in words', () => {
  const slider = { legs: ['boost', 'wiper', 'cut'], part: 'slider' }
  const cases: [Fault, string][] = [
    [{ name: '', kind: 'as built' }, 'as built: nothing is wrong'],
    [{ name: '', kind: 'open', edits: [{ kind: 'series', part: '6300', leg: 1, ohms: 1e12 }], ...slider }, '6300: wiper open'],
    [{ name: '', kind: 'open', edits: [{ kind: 'open', part: 'feedback' }], legs: ['a', 'b'] }, 'feedback open'],
    [{ name: '', kind: 'reversed', edits: [{ kind: 'reverse', part: '63' }], ...slider }, '63: its ends exchanged'],
    [{ name: '', kind: 'value', edits: [{ kind: 'scale', part: 'q1', value: 'BetaF', factor: 0.1 }] }, 'q1: its current gain is out'],
    [{ name: '', kind: 'legs', edits: [{ kind: 'permute', part: 'q1', order: [0, 2, 1] }], legs: ['collector', 'base', 'emitter'] }, 'q1: base and emitter exchanged'],
    [{ name: '', kind: 'run missing', label: 'run board in' }, 'run board in: run missing'],
  ]
  it.each(cases)('%j', (fault, said) => expect(cause(fault)).toBe(said))
})

it('figures are written as a meter shows them', () => {
  expect([0.068, 9.99, 88138.98, 1e6].map(ohmsText)).toEqual(['0.07 Ω', '9.99 Ω', '88.14 kΩ', '1 MΩ'])
  expect([412, 0.0001, -0.62, 23.984].map(voltsText)).toEqual(['412 V', '0 V', '−0.620 V', '23.98 V'])
  expect([0.3, 37.7, 235].map(waitText)).toEqual(['', '38 s', '3.9 min'])
})

it('a span has its unit once, and none where both ends are written alike', () => {
  expect([spanText('0.00 Ω', '0.33 Ω'), spanText('999.8 kΩ', '1.132 MΩ'), spanText('0 V', '0 V')]).toEqual(['0.00 to 0.33 Ω', '999.8 kΩ to 1.132 MΩ', ''])
})
