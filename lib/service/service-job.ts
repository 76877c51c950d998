const COMPLAINT_MOST = 1_000

/** What stands over a service job: the services, and what else was told of the machine. */
export function serviceComplaint(
  names: readonly string[],
  joined: readonly { number: number; complaint: string }[],
): string {
  const also = joined.map((job) => `job ${job.number}: ${job.complaint}`)
  const text = [names.join(', '), ...also].join('; ')
  return text.length > COMPLAINT_MOST ? `${text.slice(0, COMPLAINT_MOST - 1)}…` : text
}

/** Pieces to renew: as many as the parts list says at each place, or one at each station of a rotor. */
export function piecesAt(line: { quantity: number; stations: number | undefined }, places: number): number {
  return line.stations ?? line.quantity * Math.max(1, places)
}
