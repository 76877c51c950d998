/** The studs of a wheel seen from outside: stud 1 at the top, clockwise; the number in the ring is when it is tightened. */
export function WheelPicture({ sequence }: { sequence: readonly number[] }) {
  const studs = sequence.length
  const at = (stud: number) => {
    const angle = ((stud - 1) / studs) * 2 * Math.PI - Math.PI / 2
    return { x: 100 + 70 * Math.cos(angle), y: 100 + 70 * Math.sin(angle) }
  }
  const round = (value: number) => Math.round(value * 10) / 10
  const path = sequence.map((stud, turn) => `${turn === 0 ? 'M' : 'L'}${round(at(stud).x)} ${round(at(stud).y)}`)
  const radius = studs > 14 ? 9 : 13
  return (
    <svg
      viewBox="0 0 200 200"
      width="280"
      role="img"
      aria-label={`Wheel with ${studs} studs. Counted clockwise from the top, tighten stud ${sequence.join(', then ')}.`}
    >
      <circle cx="100" cy="100" r="92" fill="none" stroke="currentColor" strokeWidth="2" />
      <circle cx="100" cy="100" r="26" fill="none" stroke="currentColor" strokeWidth="1.5" />
      <path d={path.join('')} fill="none" stroke="currentColor" strokeWidth="0.8" strokeDasharray="3 3" opacity="0.6" />
      {sequence.map((stud, turn) => (
        <g key={stud}>
          <circle
            cx={round(at(stud).x)}
            cy={round(at(stud).y)}
            r={radius}
            fill="var(--sheet)"
            stroke="currentColor"
            strokeWidth="1.5"
          />
          <text
            x={round(at(stud).x)}
            y={round(at(stud).y)}
            dy="0.36em"
            textAnchor="middle"
            fontSize={radius + 1}
            fontWeight="700"
            fill="currentColor"
          >
            {turn + 1}
          </text>
        </g>
      ))}
    </svg>
  )
}
