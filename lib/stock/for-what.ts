/** What parts were taken for, where it was no job. */
export interface ForWhat {
  machine: { id: number; says: string } | null
  costCentre: string | null
  person: string | null
}

/** What somebody said parts were for; the words are free. */
export interface ForSaid {
  machineId?: number | undefined
  costCentre?: string | undefined
  forPersonId?: string | undefined
  reason?: string | undefined
}

/** Parts leave the shelf for something: a machine, a cost centre, a person, or a few words that say it. */
export function forIsSaid({ machineId, costCentre, forPersonId, reason }: ForSaid): boolean {
  return (
    machineId !== undefined ||
    (costCentre ?? '') !== '' ||
    forPersonId !== undefined ||
    (reason ?? '').trim().length >= 3
  )
}

/** In words, without the machine, which the screen links to; '' when neither was said. */
export function forSays({ costCentre, person }: Pick<ForWhat, 'costCentre' | 'person'>): string {
  return [costCentre === null ? '' : `cost centre ${costCentre}`, person === null ? '' : `for ${person}`]
    .filter((one) => one !== '')
    .join(', ')
}
