// What may be wrong, in words.

export const cause = {
  asBuilt: 'as built: nothing is wrong',
  none: 'none of these',
  value: (part: string, value: string) => `${part}: its ${value} is out`,
  values: { '': 'value', BetaF: 'current gain', Track: 'track', DCR: 'copper' } as Readonly<Record<string, string>>,
  dry: (part: string, leg: string) => `${part}: dry joint${leg === '' ? '' : ` at its ${leg}`}`,
  leaks: (part: string) => `${part} leaks`,
  turns: (part: string) => `${part}: shorted turns`,
  and: ', and ',
  leg: (n: number) => `leg ${n}`,
  open: (what: string) => `${what} open`,
  short: (part: string) => `${part} shorted`,
  shorted: (part: string, a: string, b: string) => `${part}: ${a} shorted to ${b}`,
  bridged: (a: string, b: string) => `${a} bridged to ${b}`,
  swapped: (a: string, b: string) => `${a} and ${b} in each other’s place`,
  ends: (part: string) => `${part}: its ends exchanged`,
  reversed: (part: string) => `${part} the wrong way round`,
  moved: (part: string, to: string) => `${part}: an end at ${to}`,
  coupled: (a: string, b: string, against: boolean) => `${a} and ${b} in each other’s field, ${against ? 'wound against each other' : 'wound alike'}`,
  exchanged: (a: string, b: string) => `${a} and ${b} exchanged`,
  where: (a: string, b: string) => `${a} where ${b} should be`,
}
