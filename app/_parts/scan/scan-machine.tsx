import type { ReactNode } from 'react'
import { ScanField } from './scan-field.tsx'

/** A choice of machines that the label on a machine fills. */
export function ScanMachine({ children }: { children: ReactNode }) {
  return (
    <ScanField
      want="machine"
      says={
        <>
          Scan<span className="visually-hidden"> a machine</span>
        </>
      }
    >
      {children}
    </ScanField>
  )
}
