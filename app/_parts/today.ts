/** Today as a plain date, as due dates are kept. */
export function todayIs(): string {
  return new Date().toISOString().slice(0, 10)
}
