/**
 * What can hurt at the bench, in the order of the work. The program sets no limits, names no protective gear
 * and no way of disposal: these are the room's to state.
 */
export function cautions(): string[] {
  return [
    "Your room's rules, its trained staff and the resist's safety data sheet come before anything on this card.",
    'Resist, developer and cleaning solvents give off vapour that can burn and harm: work under the exhausted ' +
      'hood, leave open bottles there, and keep them away from the hot plate.',
    'Let the bottle reach room temperature before you open it.',
    'The substrate is held by vacuum alone: see that it is centred and held before the start. With too little ' +
      'vacuum the chuck must not start.',
    'Close the lid and the hood before the start, keep hands and face away from the bowl, and open only when ' +
      'the chuck stands still.',
    'The plate surface burns, and stays hot after it is switched off: use tweezers, and let the substrate cool.',
    'If something looks, smells or sounds wrong, stop and ask someone trained on the tool.',
  ]
}
