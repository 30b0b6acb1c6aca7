/** What is to go on paper, or into a PDF of that paper. */
export type PrintAsked = { what: 'card' | 'sheet'; paper: 'A4' | 'Letter'; asPdf: boolean }
