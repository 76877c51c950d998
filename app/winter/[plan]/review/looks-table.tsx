import type { LookReview } from '@/lib/winter/review-looks.ts'

const percent = (chance: number) => `${Math.round(chance * 100)} %`

/** What was looked at: how often it had to be renewed, and what its chance was before and is now. */
export function LooksTable({ looks }: { looks: readonly LookReview[] }) {
  return (
    <table className="parts fold">
      <caption className="visually-hidden">Chances before and now</caption>
      <thead>
        <tr>
          <th scope="col">Looked at</th>
          <th scope="col" className="right">
            Looks
          </th>
          <th scope="col" className="right">
            Renewed
          </th>
          <th scope="col" className="right">
            Chance before
          </th>
          <th scope="col" className="right">
            Chance now
          </th>
        </tr>
      </thead>
      <tbody>
        {looks.map(({ key, text, looked, renewed, before, now }) => (
          <tr key={key}>
            <td className="wide">{text}</td>
            <td className="right" data-label="Looks">
              {looked}
            </td>
            <td className="right" data-label="Renewed">
              {renewed}
            </td>
            <td className="right" data-label="Chance before">
              {percent(before)}
            </td>
            <td className="right" data-label="Chance now">
              {percent(now)}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
