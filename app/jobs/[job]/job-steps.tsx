'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'
import { useId, useState } from 'react'
import styles from './job.module.css'

interface Step {
  href: string
  says: string
  count: number
}

/**
 * The way through a job. A count says how much is left to do at a step. On a phone one row shows the step in hand with those
 * beside it, and opens to the whole way.
 */
export function JobSteps({ steps }: { steps: Step[] }) {
  const path = usePathname()
  const id = useId()
  // Folded again by itself when another step is reached: the fold was opened at one path.
  const [openAt, setOpenAt] = useState<string | null>(null)
  const open = openAt === path
  const at = steps.findIndex((step) => step.href === path)
  const here = steps[at]
  return (
    <nav aria-label="Steps of the job" className="no-print">
      <div className={styles.stepsFold}>
        <Beside step={steps[at - 1]} says="Previous step" shape="‹" />
        <button type="button" aria-expanded={open} aria-controls={id} onClick={() => setOpenAt(open ? null : path)}>
          <span className="visually-hidden">Step </span>
          <span className="soft">
            {at + 1} of {steps.length}
          </span>
          {here?.says}
          {here ? <Left count={here.count} /> : null}
          <span aria-hidden="true">{open ? '▴' : '▾'}</span>
        </button>
        <Beside step={steps[at + 1]} says="Next step" shape="›" />
      </div>
      <ol id={id} className={`steps ${open ? styles.stepsOpen : styles.stepsFolded}`}>
        {steps.map((step) => (
          <li key={step.href}>
            <Link href={step.href} aria-current={path === step.href ? 'step' : undefined} prefetch={false}>
              {step.says}
              <Left count={step.count} />
            </Link>
          </li>
        ))}
      </ol>
    </nav>
  )
}

function Beside({ step, says, shape }: { step: Step | undefined; says: string; shape: string }) {
  if (!step) return <span aria-hidden="true">{shape}</span>
  return (
    <Link href={step.href} prefetch={false} aria-label={`${says}: ${step.says}`}>
      {shape}
    </Link>
  )
}

function Left({ count }: { count: number }) {
  if (count === 0) return null
  return (
    <span className="badge">
      {count}
      <span className="visually-hidden"> left</span>
    </span>
  )
}
