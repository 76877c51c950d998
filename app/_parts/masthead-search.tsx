'use client'

import Link from 'next/link'
import { useRouter } from 'next/navigation'
import { useEffect, useId, useRef, useState } from 'react'
import { counted } from '@/lib/measure/counted.ts'
import { figurePaths } from '../figure-paths.ts'
import type { Suggestion, Suggestions } from '../search/suggest/route.ts'
import styles from './masthead-search.module.css'
import { ScanField } from './scan/scan-field.tsx'

const NOTHING: Suggestions = { groups: [], meant: null }
/** Long enough that a fast hand asks once a word, short enough that nobody waits. */
const PAUSE_MS = 80

/** Search as you type over every kind of answer; without script it is a plain form that opens the search page. */
export function MastheadSearch() {
  const [found, setFound] = useState(NOTHING)
  const [typed, setTyped] = useState('')
  const [open, setOpen] = useState(false)
  const [active, setActive] = useState(-1)
  const list = useId()
  const asked = useRef<AbortController | null>(null)
  const router = useRouter()

  useEffect(() => {
    asked.current?.abort()
    if (typed.trim().length < 2) {
      setFound(NOTHING)
      return
    }
    const mine = new AbortController()
    asked.current = mine
    const pause = setTimeout(async () => {
      try {
        const answer = await fetch(`/search/suggest?q=${encodeURIComponent(typed)}`, { signal: mine.signal })
        if (!answer.ok) return
        setFound((await answer.json()) as Suggestions)
        setActive(-1)
      } catch {
        // A newer letter was typed, or the signal is weak: the form still works.
        if (!mine.signal.aborted) setFound(NOTHING)
      }
    }, PAUSE_MS)
    return () => {
      clearTimeout(pause)
      mine.abort()
    }
  }, [typed])

  const everything: Suggestion = {
    href: figurePaths.search(typed),
    lead: '',
    text: `All answers to “${typed.trim()}”`,
    says: '',
  }
  const lines = found.groups.flatMap((group) => group.lines)
  const options = lines.length > 0 ? [...lines, everything] : []
  const isOpen = open && options.length > 0

  useEffect(() => {
    if (active >= 0) document.getElementById(`${list}-${active}`)?.scrollIntoView({ block: 'nearest' })
  }, [active, list])

  function option(line: Suggestion, at: number) {
    return (
      <Link
        key={line.href}
        id={`${list}-${at}`}
        role="option"
        tabIndex={-1}
        aria-selected={at === active}
        href={line.href}
        prefetch={false}
        // Before the field loses the focus and the list closes.
        onMouseDown={(event) => event.preventDefault()}
        onClick={() => setOpen(false)}
      >
        {line.lead ? <span className="number">{line.lead}</span> : null} {line.text}{' '}
        <span className="soft small">{line.says}</span>
      </Link>
    )
  }

  let at = -1
  return (
    <search className={`masthead-search ${styles.search}`}>
      <ScanField
        want="any"
        says={
          <>
            Scan<span className="visually-hidden"> a label</span>
          </>
        }
      >
        <form action="/search" className={styles.form} onSubmit={() => setOpen(false)}>
          <input
            type="search"
            name="q"
            placeholder="Part, figure, machine, symptom"
            aria-label="Search parts, figures, machines and past jobs"
            autoComplete="off"
            role="combobox"
            aria-autocomplete="list"
            aria-expanded={isOpen}
            aria-controls={list}
            aria-activedescendant={isOpen && active >= 0 ? `${list}-${active}` : undefined}
            onChange={(event) => {
              setTyped(event.target.value)
              setOpen(true)
            }}
            onBlur={() => setOpen(false)}
            onKeyDown={(event) => {
              if (event.key === 'Escape' && isOpen) {
                // The first Escape closes the list and keeps what was typed.
                event.preventDefault()
                setOpen(false)
                setActive(-1)
              }
              if ((event.key === 'ArrowDown' || event.key === 'ArrowUp') && options.length > 0) {
                event.preventDefault()
                setOpen(true)
                const step = event.key === 'ArrowDown' ? 1 : -1
                // Past the last line and before the first one lies what was typed.
                setActive((now) => ((now + 1 + step + options.length + 1) % (options.length + 1)) - 1)
              }
              const chosen = options[active]
              if (event.key === 'Enter' && chosen && isOpen) {
                event.preventDefault()
                setOpen(false)
                router.push(chosen.href)
              }
            }}
          />
          <div id={list} role="listbox" aria-label="Answers" className={styles.list} hidden={!isOpen}>
            {found.meant ? (
              <p className={styles.meant} aria-hidden="true">
                Shown for “{found.meant}”
              </p>
            ) : null}
            {found.groups.map((group) => (
              <fieldset key={group.kind} aria-label={group.kind} className={styles.group}>
                <p aria-hidden="true" className={styles.kind}>
                  {group.kind}
                </p>
                {group.lines.map((line) => {
                  at += 1
                  return option(line, at)
                })}
              </fieldset>
            ))}
            {options.length > 0 ? option(everything, options.length - 1) : null}
          </div>
          <p className="visually-hidden" role="status">
            {isOpen ? `${counted(lines.length, 'answer')}${found.meant ? ` for ${found.meant}` : ''}` : ''}
          </p>
        </form>
      </ScanField>
    </search>
  )
}
