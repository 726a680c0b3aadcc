// Writing into the drawer's file. The page understands none of its values: it
// puts cells under titles and asks the server what they mean.

import type { Mapping } from './types'

const characters: Record<string, string> = { comma: ',', semicolon: ';', tab: '\t' }
const separatorOf = (m: Mapping): string => characters[m.separator ?? 'comma'] ?? ','

/** The titles of a drawer that begins here. */
export const standardTitles =
  'id,kind,value,tolerance,measured,frequency,mode,Q,D,DCR,level,temperature,self-capacitance,count,place,notes\n'

/** The cells of every row of a sheet (RFC 4180, any separator). */
export function cellsOf(text: string, separator: string): string[][] {
  const rows: string[][] = []
  let row: string[] = []
  let cell = ''
  let quoted = false
  const end = () => {
    row.push(cell)
    cell = ''
  }
  for (let i = 0; i < text.length; i++) {
    const c = text[i] ?? ''
    if (quoted) {
      if (c !== '"') cell += c
      else if (text[i + 1] === '"') cell += text[++i]
      else quoted = false
    } else if (c === '"' && cell === '') quoted = true
    else if (c === separator) end()
    else if (c === '\n') {
      end()
      rows.push(row)
      row = []
    } else if (c !== '\r') cell += c
  }
  if (cell !== '' || row.length > 0) {
    end()
    rows.push(row)
  }
  return rows
}

/** One row as text, quoted where it must be. */
export function rowText(cells: readonly string[], separator: string): string {
  const written = cells.map((c) => (/["\r\n]/.test(c) || c.includes(separator) ? `"${c.replaceAll('"', '""')}"` : c))
  // A row must not look like a comment.
  if (written[0]?.startsWith('#')) written[0] = `"${cells[0]}"`
  return written.join(separator)
}

/** A new last row with cells under the columns that hold them. Titles that the
 * sheet has not yet are added to its title row; `above` is how many rows there
 * are up to and with the titles. */
export function withRow(text: string, mapping: Mapping, above: number, cells: Readonly<Record<string, string>>): string {
  const separator = separatorOf(mapping)
  const columns = [...(mapping.columns ?? [])]
  const lines = text.replace(/\r?\n$/, '').split('\n')
  const given = Object.entries(cells).filter(([, value]) => value.trim() !== '')
  const width = columns.length
  const added: string[] = []
  const row: string[] = Array.from({ length: width }, () => '')
  for (const [holds, value] of given) {
    const at = columns.findIndex((c) => c.holds === holds && (c.kind ?? '') === '')
    if (at >= 0) row[at] = value.trim()
    else {
      added.push(titleFor(holds))
      row.push(value.trim())
    }
  }
  const titles = above - 1
  if (added.length > 0 && lines[titles] !== undefined) {
    lines[titles] = lines[titles].replace(/\r$/, '') + separator + rowText(added, separator)
  }
  return [...lines, rowText(row, separator), ''].join('\n')
}

const titleFor = (holds: string): string => (holds === 'q' || holds === 'd' || holds === 'dcr' ? holds.toUpperCase() : holds)

/** Rows pasted under a sheet's own titles; null when they have titles that the
 * sheet has not, so that nothing is put where it might mean something else. */
export function withPasted(
  text: string,
  mapping: Mapping,
  pasted: string,
  pastedMapping: Mapping,
  pastedAbove: number,
): string | null {
  const separator = separatorOf(mapping)
  const key = (title: string | undefined) => (title ?? '').trim().toLowerCase()
  const mine = (mapping.columns ?? []).map((c) => key(c.title))
  const theirs = (pastedMapping.columns ?? []).map((c) => key(c.title))
  if (mapping.no_titles === true || pastedMapping.no_titles === true) return null
  if (theirs.some((title) => title === '' || !mine.includes(title))) return null
  const rows = cellsOf(pasted, separatorOf(pastedMapping)).slice(pastedAbove)
  const added = rows
    .filter((cells) => cells.some((c) => c.trim() !== ''))
    .map((cells) => rowText(mine.map((title) => cells[theirs.indexOf(title)] ?? ''), separator))
  const whole = text.endsWith('\n') ? text : `${text}\n`
  return whole + added.map((line) => `${line}\n`).join('')
}
