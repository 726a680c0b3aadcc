// A copy of what is not yet on the disk, kept by the browser, so that a tab,
// browser or machine that dies takes nothing with it.

export interface Mirrored {
  text: string
  base: string // the version on disk it was made from
  when: number // ms, to choose the newest
}

/** The part of the browser's storage that is used. */
export type Shelf = Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>

const prefix = 'bandwright.mirror.'
const keyOf = (job: string, tab: string): string => `${prefix}${encodeURIComponent(job)}.${tab}`

/** Keeps a text; says whether the shelf took it. */
export function keep(shelf: Shelf, job: string, tab: string, mirrored: Mirrored): boolean {
  try {
    shelf.setItem(keyOf(job, tab), JSON.stringify(mirrored))
    return true
  } catch {
    return false // full, or forbidden: the disk has to do
  }
}

export function drop(shelf: Shelf, job: string, tab: string): void {
  shelf.removeItem(keyOf(job, tab))
}

/** What any tab left of a job, the newest first. */
export function left(shelf: Shelf, job: string): { key: string; mirrored: Mirrored }[] {
  const start = `${prefix}${encodeURIComponent(job)}.`
  const found: { key: string; mirrored: Mirrored }[] = []
  for (let i = 0; i < shelf.length; i++) {
    const key = shelf.key(i)
    if (key === null || !key.startsWith(start)) continue
    const mirrored = parse(shelf.getItem(key))
    if (mirrored !== null) found.push({ key, mirrored })
  }
  return found.sort((a, b) => b.mirrored.when - a.mirrored.when)
}

function parse(text: string | null): Mirrored | null {
  if (text === null) return null
  try {
    const m = JSON.parse(text) as Partial<Mirrored>
    if (typeof m.text !== 'string' || typeof m.base !== 'string' || typeof m.when !== 'number') return null
    return { text: m.text, base: m.base, when: m.when }
  } catch {
    return null
  }
}

export type Return =
  | { is: 'file' } // the disk has it all
  | { is: 'restored'; text: string } // the disk stood still meanwhile
  | { is: 'conflict'; text: string } // both went on

/** What to do with what was left, given what is on the disk now. */
export function onReturn(mirrored: Mirrored | undefined, disk: { text: string; version: string }): Return {
  if (mirrored === undefined || mirrored.text === disk.text) return { is: 'file' }
  return { is: mirrored.base === disk.version ? 'restored' : 'conflict', text: mirrored.text }
}
