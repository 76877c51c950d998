import type { askWheel } from '@/lib/fastener/ask.ts'
import { BEARING_STANDARD, type BearingSize } from '@/lib/fastener/bearing-size.ts'
import { GREASE_FIRST_FILL, GREASE_SOURCE } from '@/lib/fastener/grease.ts'
import { WHEEL_NUT_RECHECK } from '@/lib/fastener/wheel-nut-sequence.ts'
import { WheelPicture } from './wheel-picture.tsx'

export function WheelAnswer({ studs, sequence, stages }: ReturnType<typeof askWheel>) {
  const { standingMinutes, roadKmMin, roadKmMax, source, field } = WHEEL_NUT_RECHECK
  return (
    <div className="columns" role="status">
      <WheelPicture sequence={sequence} />
      <div className="stack tight">
        <p>
          {studs} studs counted clockwise, in this order: <strong className="number">{sequence.join(' ')}</strong>. The
          number at each stud of the picture is its turn.
        </p>
        {stages === null ? (
          <p>With the torque of the manual the stages stand here: a third, two thirds, full, once round at full.</p>
        ) : (
          <ol>
            {stages.slice(0, -1).map((stage) => (
              <li key={stage.torqueNm}>
                All nuts in this order to <strong>{stage.torqueNm} N m</strong>
              </li>
            ))}
            <li>
              Once round again at <strong>{stages.at(-1)?.torqueNm} N m</strong>
            </li>
          </ol>
        )}
        <p className="caution">
          <span aria-hidden="true">⚠ </span>Machine on stands until the nuts are drawn up, last stage with the wheel on
          the ground. Threads clean and as the manual asks; no grease on the seats. Check again after {standingMinutes}{' '}
          minutes of standing, or after {roadKmMin} to {roadKmMax} km on the road.
        </p>
        <p className="small soft">
          Check again: {source}; {field}. Cross pattern and stages: common practice, no source
        </p>
      </div>
    </div>
  )
}

export function GreaseAnswer({ grams, size }: { grams: string; size: BearingSize | null }) {
  const { bearingSpacePercent, housingSpacePercent } = GREASE_FIRST_FILL
  return (
    <div className="stack tight" role="status">
      <p className="strong">About {grams} g to grease it again</p>
      {size ? (
        <p>
          Bore {size.boreMm} mm, outside {size.outsideMm} mm, width {size.widthMm} mm.
        </p>
      ) : null}
      <p>
        Packed for the first time: {bearingSpacePercent.join(' to ')} % of the free space in the bearing,{' '}
        {housingSpacePercent.join(' to ')} % beside it; more runs hot. Do not mix kinds of grease that do not get on:
        ask the maker of the grease.
      </p>
      <p className="small soft">
        G = 0.005 D B: {GREASE_SOURCE}
        {size ? `; dimensions ${BEARING_STANDARD}, from memory` : ''}
      </p>
    </div>
  )
}
