// The words of the step of this name.

export const handover = {
  title: 'Hand-over',
}
