// The words of the step of this name.

export const parts = {
  title: 'Parts',
}
