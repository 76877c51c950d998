/** Why a suggestion is made, with its source. */
export interface ReasonShown {
  words: string
  source: string
  found?: Record<string, string>
}

export function Reasons({ reasons }: { reasons: ReasonShown[] }) {
  if (reasons.length === 0) return null
  return (
    <ul className="plain-list small soft stack tight">
      {reasons.map((reason) => (
        <li key={`${reason.words}${reason.source}`}>
          {reason.words === '' ? 'Source: ' : `${reason.words} - `}
          {reason.source}
        </li>
      ))}
    </ul>
  )
}
