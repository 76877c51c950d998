'use client'

import Link from 'next/link'
import { usePathname } from 'next/navigation'

/** The way through a job. A count says how much is left to do at a step. */
export function JobSteps({ steps }: { steps: { href: string; says: string; count: number }[] }) {
  const path = usePathname()
  return (
    <nav aria-label="Steps of the job" className="no-print">
      <ol className="steps">
        {steps.map((step) => (
          <li key={step.href}>
            <Link href={step.href} aria-current={path === step.href ? 'step' : undefined} prefetch={false}>
              {step.says}
              {step.count > 0 ? (
                <span className="badge">
                  {step.count}
                  <span className="visually-hidden"> left</span>
                </span>
              ) : null}
            </Link>
          </li>
        ))}
      </ol>
    </nav>
  )
}
