// The words of the step of this name.

export const handover = {
  title: 'Hand-over',
  missing: {
    title: 'What is missing',
    none: 'Nothing is missing: every entry of the record is filled.',
    lead: (n: number) => `${n} ${n === 1 ? 'entry prints' : 'entries print'} as NOT DONE.`,
    danger: 'Not to be played: safety readings are missing.',
    go: 'Go there',
    goTo: (what: string) => `Go there: ${what}`,
    tables: {
      agreed: 'Agreed',
      found: 'As found',
      tap_in: 'Tap-in and undo',
      fitting: 'Fitting list',
      curves: 'Curves',
      parts: 'Parts',
      safety: 'Safety readings',
    } as Readonly<Record<string, string>>,
    step: (n: number, what: string) => `step ${n}: ${what}`,
    noCurve: 'no measured curve',
    notMeasured: (part: string, band: string) => `${part} of band ${band} was not measured`,
    parts: { coil: 'the coil', capacitor: 'the capacitor' } as Readonly<Record<string, string>>,
  },
  sheet: {
    title: 'The job sheet',
    frame: 'The job sheet, as it prints',
    making: 'Laying out the sheet …',
    failed: 'The sheet cannot be laid out as the job stands.',
    print: 'Print the sheet',
    pdf: 'The sheet as PDF',
    html: 'The sheet as a page of its own',
    again: 'Lay out again',
    unsaved: 'The job is being saved; the sheet follows.',
  },
}
