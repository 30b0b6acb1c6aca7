/** Words of the parts that every screen uses. */
export const words = {
  hint: { label: 'Hint', read: 'Understood' },
  howFound: 'How this is found',
  settings: {
    hints: 'Hints',
    hintOptions: { on: 'shown', off: 'hidden' },
    hintsWords: 'Advice on the method where it is needed. Shown anew after they were hidden.',
  },
}
