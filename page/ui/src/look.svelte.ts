// Paper or dark: as the machine has it, or as the person chose, kept by the
// browser. Print is always on paper.

export type Look = 'system' | 'light' | 'dark'
export const choices: readonly Look[] = ['system', 'light', 'dark']

const shelf = 'bandwright.look'
let chosen = $state<Look>('system')
let turns = $state(0) // counts every change of inks, whatever made it

export const looks = {
  get chosen(): Look {
    return chosen
  },
  /** Read inside an effect, it runs again whenever inks change. */
  get now(): number {
    return turns
  },
}

export function choose(look: Look): void {
  chosen = look
  try {
    localStorage.setItem(shelf, look)
  } catch {
    // Not kept then; it holds while the page is open.
  }
  ink()
}

const dark = matchMedia('(prefers-color-scheme: dark)')

/** Says to the style sheet, and to what is drawn, which inks hold. */
function ink(printing = false): void {
  const look = printing ? 'light' : chosen !== 'system' ? chosen : dark.matches ? 'dark' : 'light'
  document.documentElement.dataset.look = look
  turns++
}

/** Takes up what was chosen before, and follows the machine. */
export function startLook(): void {
  const kept = localStorage.getItem(shelf)
  if (kept === 'light' || kept === 'dark') chosen = kept
  dark.addEventListener('change', () => ink())
  addEventListener('beforeprint', () => ink(true))
  addEventListener('afterprint', () => ink())
  ink()
}
