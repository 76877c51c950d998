import type { Callout } from '@/lib/figure/callout.ts'
import type { Size } from '@/lib/geometry/view.ts'
import styles from './pointer.module.css'

/** Leader line and tip of the chosen callout, drawn over the print. */
export function Pointer({ page, callouts, scale }: { page: Size; callouts: Callout[]; scale: number }) {
  if (scale === 0) return null
  return (
    <svg className={styles.pointer} viewBox={`0 0 ${page.width} ${page.height}`} aria-hidden="true">
      {callouts.flatMap((callout) =>
        callout.tips.map((tip) => (
          <g key={`${callout.x},${callout.y},${tip.x},${tip.y}`}>
            <line x1={callout.x} y1={callout.y} x2={tip.x} y2={tip.y} />
            <circle cx={tip.x} cy={tip.y} r={9 / scale} />
          </g>
        )),
      )}
    </svg>
  )
}
