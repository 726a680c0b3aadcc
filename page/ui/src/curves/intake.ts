// What is decided of a file between its drop and its place in the job.

import type { ReadAs } from './types'

/** As large as the server takes. */
export const mostBytes = 8 << 20

/** What a curve is called before the person says otherwise. */
export const stemOf = (file: string): string => file.replace(/\.[^.]*$/, '').replace(/[-_]+/g, ' ').trim()

/** A name for the file beside the job: plain characters, and none that is
 * taken by other bytes. */
export function fileNameFor(file: string, taken: readonly { file: string; sha256: string }[], sha256: string): string {
  const plain = file.normalize('NFC').replace(/[^\p{L}\p{N}._ +-]/gu, '-').replace(/^[.\s]+/, '').slice(-100)
  const whole = plain === '' ? 'curve' : plain
  const [stem, ending] = parted(whole)
  for (let n = 1; ; n++) {
    const name = n === 1 ? whole : `${stem}-${n}${ending}`
    const same = taken.find((t) => t.file.toLowerCase() === name.toLowerCase())
    if (same === undefined || same.sha256 === sha256) return name
  }
}

function parted(name: string): [string, string] {
  const dot = name.lastIndexOf('.')
  return dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, '']
}

/** A curve's name that no other curve of the job has. */
export function nameFor(wanted: string, taken: readonly string[]): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? wanted : `${wanted} ${n}`
    if (!taken.includes(name)) return name
  }
}

/** The entries of the new curve, blanks left out, each a path below it. */
export function entriesOf(
  said: { name: string; unit: string; role: string; setting: string; level: string; file: string },
  sha256: string,
  as: ReadAs,
): [path: string[], value: string][] {
  const entries: [string[], string][] = [
    [['name'], said.name],
    [['unit'], said.unit],
    [['role'], said.role],
    [['file'], said.file],
    [['sha256'], sha256],
    [['setting'], said.setting],
    [['level'], said.level],
    ...Object.entries(as).map(([key, value]): [string[], string] => [['read_as', key], String(value)]),
  ]
  return entries.filter(([, value]) => value.trim() !== '')
}
