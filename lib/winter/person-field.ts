/** Stretches of days away that a person can have in a plan. */
export const AWAY_MOST = 3

/** Fields of a person in the form of a plan: hours a day, and both ends of a stretch of days away. Also for the browser. */
export const personFields = {
  hours: (personId: string) => `hours-${personId}`,
  awayFrom: (personId: string, at: number) => `awayFrom${at}-${personId}`,
  awayUntil: (personId: string, at: number) => `awayUntil${at}-${personId}`,
}
