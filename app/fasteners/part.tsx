import type { ReactNode } from 'react'
import { paths } from '@/app/paths.ts'
import { isRefusal } from '@/lib/refusal.ts'

export type Topic = 'split-pin' | 'bolt' | 'wheel' | 'grease'

/** One question: an ordinary form whose address holds what was asked, and the answer under it. */
export function Question(props: { of: Topic; title: string; fields: ReactNode; answer: ReactNode }) {
  return (
    <section className="sheet stack tight" id={props.of} aria-labelledby={`${props.of}-title`}>
      <h2 id={`${props.of}-title`}>{props.title}</h2>
      <form action={`${paths.fasteners()}#${props.of}`} className="row end">
        <input type="hidden" name="of" value={props.of} />
        {props.fields}
        <button type="submit" className="button">
          Work it out
        </button>
      </form>
      {props.answer}
    </section>
  )
}

export function TextInput(props: { name: string; label: string; unit?: string; value: string; inputMode?: 'decimal' }) {
  return (
    <div className="field">
      <label htmlFor={`fastener-${props.name}`}>
        {props.label}
        {props.unit ? <span className="soft"> {props.unit}</span> : null}
      </label>
      <input
        id={`fastener-${props.name}`}
        name={props.name}
        defaultValue={props.value}
        inputMode={props.inputMode}
        maxLength={40}
        autoComplete="off"
      />
    </div>
  )
}

export function Choice(props: { name: string; label: string; value: string; options: readonly string[] }) {
  return (
    <div className="field">
      <label htmlFor={`fastener-${props.name}`}>{props.label}</label>
      <select id={`fastener-${props.name}`} name={props.name} defaultValue={props.value}>
        {props.options.map((option) => (
          <option key={option}>{option}</option>
        ))}
      </select>
    </div>
  )
}

/** Reckons, and shows a refusal in words beside the question it belongs to. */
export function answered(reckon: () => ReactNode): ReactNode {
  try {
    return reckon()
  } catch (error) {
    if (!isRefusal(error)) throw error
    return (
      <p className="alert" role="alert">
        {error.happened} {error.next}
      </p>
    )
  }
}

/** Three figures, as far as such values are good for. */
export function short(value: number): string {
  const digits = value >= 100 ? 0 : value >= 10 ? 1 : 2
  return value.toLocaleString('en-GB', { maximumFractionDigits: digits })
}
