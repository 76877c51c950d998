import styles from './sheet.module.css'
import { Box } from './sheet.tsx'

export interface ServiceSheetLine {
  id: number
  text: string
  /** Number of the part, item and figure, quantity; what helps to find it. */
  says: string
  /** What was answered on the screen already, and what was said with it. */
  answer: string | null
  note: string | null
}

/** What a service asks for, a row each with its answers to tick and room for what was found. */
export function ServiceLines(props: { title: string; lines: readonly ServiceSheetLine[]; answers: readonly string[] }) {
  if (props.lines.length === 0) return null
  return (
    <table className={styles.list}>
      <caption>{props.title}</caption>
      <thead>
        <tr>
          <th scope="col">What</th>
          <th scope="col" className={styles.tickColumn}>
            Tick
          </th>
          <th scope="col" className={styles.found}>
            Found, why not
          </th>
        </tr>
      </thead>
      <tbody>
        {props.lines.map((line) => (
          <tr key={line.id}>
            <td>
              {line.text}
              {line.says ? <span className="soft small"> - {line.says}</span> : null}
            </td>
            <td>
              <span className={styles.answers}>
                {props.answers.map((answer) => (
                  <Box key={answer} says={answer} done={line.answer === answer} />
                ))}
              </span>
            </td>
            <td className={styles.found}>{line.note}</td>
          </tr>
        ))}
      </tbody>
    </table>
  )
}
