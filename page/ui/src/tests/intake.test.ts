import { describe, expect, it } from 'vitest'
import { entriesOf, fileNameFor, nameFor, stemOf } from '../curves/intake'

it('calls a curve by its file', () => {
  expect(stemOf('unit-a_63 boost.csv')).toBe('unit a 63 boost')
  expect(stemOf('take')).toBe('take')
})

describe('the file beside the job', () => {
  const taken = [{ file: 'Flat.csv', sha256: 'aa' }, { file: 'flat-2.csv', sha256: 'bb' }]
  it.each([
    ['other.csv', 'cc', 'other.csv'],
    ['flat.csv', 'aa', 'flat.csv'],
    ['flat.csv', 'cc', 'flat-3.csv'],
    ['../../etc/passwd', 'cc', '-..-etc-passwd'],
    ['..', 'cc', 'curve'],
    ['a\\b:c?.txt', 'cc', 'a-b-c-.txt'],
    ['größe µ.csv', 'cc', 'größe µ.csv'],
  ])('%s (%s) becomes %s', (name, sum, want) => expect(fileNameFor(name, taken, sum)).toBe(want))
})

it('gives no name twice', () => {
  expect(nameFor('flat', ['flat', 'flat 2'])).toBe('flat 3')
  expect(nameFor('up', ['flat'])).toBe('up')
})

it('writes only what was said', () => {
  const said = { name: 'flat', unit: '', role: 'measured', setting: 'flat', level: ' ', file: 'flat.csv' }
  expect(entriesOf(said, 'ab', { decimal: 'comma', gain_column: 2 })).toEqual([
    [['name'], 'flat'],
    [['role'], 'measured'],
    [['file'], 'flat.csv'],
    [['sha256'], 'ab'],
    [['setting'], 'flat'],
    [['read_as', 'decimal'], 'comma'],
    [['read_as', 'gain_column'], '2'],
  ])
})
