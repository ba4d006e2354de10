-- A train's way through the line, box by box. Write its name instead of 1A001, or '' for
-- every train. minutes: since it left the box before, by the clocks of the two.
WITH asked AS (
  SELECT '1A001' AS name
), seen AS (
  SELECT railway, train, box, person, arrived_at, coalesce(departed_at, out_entered_at) AS left_at, in_section, out_section,
         coalesce(arrived_at, departed_at, out_entered_at, in_entered_at, opened_at) AS here_at
  FROM trains
  WHERE named AND (train IN (SELECT name FROM asked) OR '' IN (SELECT name FROM asked))
)
SELECT railway, train, here_at, box, in_section, out_section, arrived_at, left_at,
       floor(date_diff('second', max(left_at) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN 1 PRECEDING AND 1 PRECEDING), arrived_at) / 60 * 10 + 0.5) / 10 AS minutes,
       person
FROM seen
ORDER BY railway, train, here_at, box
