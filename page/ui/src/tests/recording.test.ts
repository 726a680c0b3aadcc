import { describe, expect, it } from 'vitest'
import type { TakeRead } from '../curves/ask'
import { as, askable, clock, fieldsOf, joined, recordingName, standard, takeRow, type Beside } from '../curves/recording'

const file = (name: string, is: Beside['is'], setting = ''): Beside => ({ name, bytes: 10, is, setting })

describe('what each file is', () => {
  const list = [file('a.wav', 'recorded'), file('test.wav', 'played'), file('b.wav', 'none')]
  it('has one test recording at most', () => {
    expect(as(list, 'b.wav', 'played').map((f) => f.is)).toEqual(['recorded', 'none', 'played'])
    expect(as(list, 'b.wav', 'recorded').map((f) => f.is)).toEqual(['recorded', 'played', 'recorded'])
  })
  it('keeps what was said when the list is read again, and not of another file', () => {
    const rows = [{ name: 'a.wav', bytes: 10 }, { name: 'test.wav', bytes: 11 }, { name: 'new.wav', bytes: 1 }]
    expect(joined(rows, list).map((f) => f.is)).toEqual(['recorded', 'none', 'none'])
  })
  it('is enough to ask with', () => {
    expect(askable(list)).toBe(true)
    expect(askable(as(list, 'test.wav', 'none'))).toBe(false)
    expect(askable(as(list, 'a.wav', 'none'))).toBe(false)
  })
})

it('names a recording anew where another length has the name', () => {
  const rows = [{ name: 'take.wav', bytes: 10 }]
  expect(recordingName('take.wav', 10, rows)).toBe('take.wav')
  expect(recordingName('take.wav', 11, rows)).toBe('take-2.wav')
  expect(recordingName('../take?.WAV', 11, rows)).toBe('-take-.WAV')
})

describe('the fields of the question', () => {
  const list = [file('a.wav', 'recorded'), file('b.wav', 'recorded', ' lift '), file('test.wav', 'played')]
  it('sends settings for all once one is said', () => {
    expect(fieldsOf(list, standard)).toMatchObject({ files: ['a.wav', 'b.wav'], set: ['flat', 'lift'], played: 'test.wav', channel: 1, reference: 0, loopback: '' })
    expect(fieldsOf(list.map((f) => ({ ...f, setting: '' })), standard)).toMatchObject({ set: [] })
  })
  it('takes a stored loopback in place of a channel', () => {
    const with2 = { ...standard, reference: '2' }
    expect(fieldsOf(list, with2)).toMatchObject({ reference: 2, loopback: '' })
    expect(fieldsOf([...list, file('loop.wav', 'loopback')], with2)).toMatchObject({ reference: 0, loopback: 'loop.wav' })
  })
})

it('writes a take as a row, blanks where nothing is known', () => {
  const bare = { name: 'take 1, flat', hz: [500, 1000], db: [1, -2], origin: {} } as unknown as TakeRead
  expect(takeRow(bare)).toEqual(['take 1, flat', '–', '–', '–', '–', '–', '−2.00 dB', '–', ''])
  const full = {
    ...bare, drift_ppm: 1.234, peak_dbfs: -6.02, silence: { dbfs: -90, hiss_dbfs: -300, mains: { hz: 50, dbfs: -80 }, twice_mains: null },
    thd: { hz: [1000], percent: [0.01234] }, origin: { file: 'a.wav' },
  } as unknown as TakeRead
  expect(takeRow(full)).toEqual(['take 1, flat', '+1.23 ppm', '−6.0 dBFS', '–', '−80.0 dBFS at 50.0 Hz', '–', '−2.00 dB', '0.012 %', 'a.wav'])
})

it('writes moments', () => {
  expect(clock(0)).toBe('0:00.0')
  expect(clock(69.97)).toBe('1:10.0')
  expect(clock(605.25)).toBe('10:05.3')
})
