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
// The slash parts the job's name from the tab's: an encoded name has none.
const startOf = (job: string): string => `${prefix}${encodeURIComponent(job)}/`
const keyOf = (job: string, tab: string): string => startOf(job) + tab

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

/** Drops a text, whichever tab left it: it is kept elsewhere now. */
export function forget(shelf: Shelf, job: string, text: string): void {
  for (const { key, mirrored } of left(shelf, job)) if (mirrored.text === text) shelf.removeItem(key)
}

/** What any tab left of a job, the newest first. */
export function left(shelf: Shelf, job: string): { key: string; mirrored: Mirrored }[] {
  const start = startOf(job)
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
  | { is: 'file'; texts: readonly string[] } // the disk has it all
  | { is: 'restored'; texts: readonly string[] } // the disk stood still meanwhile; the last is the newest
  | { is: 'conflict'; texts: readonly string[]; base: string } // both went on

/** What to do with what was left, the newest first, given what is on the disk. */
export function onReturn(found: readonly Mirrored[], disk: { text: string; version: string }): Return {
  const news = found.filter((m, i) => m.text !== disk.text && found.findIndex((n) => n.text === m.text) === i)
  const [newest] = news
  if (newest === undefined) return { is: 'file', texts: [] }
  const texts = news.map((m) => m.text).reverse()
  return newest.base === disk.version ? { is: 'restored', texts } : { is: 'conflict', texts, base: newest.base }
}
