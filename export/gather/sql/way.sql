-- A train's way through the line, box by box. Write its name instead of 1A001, or '' for
-- every train. here_at, arrived_at and left_at are by the clock of the box; minutes since
-- it left the box before, after what the one clock was ahead of the other (clock_seconds,
-- by the bells that both books have; null where those tell nothing, and nothing is taken off).
WITH asked AS (
  SELECT '1A001' AS name
), seen AS (
  SELECT railway, train, train_row, day, box, person, arrived_at, coalesce(departed_at, out_entered_at) AS left_at, in_section, out_section,
         coalesce(arrived_at, departed_at, out_entered_at, in_entered_at, opened_at) AS here_at
  FROM trains
  WHERE named AND (train IN (SELECT name FROM asked) OR '' IN (SELECT name FROM asked))
), hops AS (
  SELECT *, arrived_at AS at_here, max(box) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN 1 PRECEDING AND 1 PRECEDING) AS before_box,
         max(left_at) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN 1 PRECEDING AND 1 PRECEDING) AS at_before
  FROM seen
), {{differ}}
SELECT h.railway AS railway, h.train AS train, h.here_at AS here_at, h.box AS box, h.in_section AS in_section, h.out_section AS out_section, h.arrived_at AS arrived_at, h.left_at AS left_at,
       floor(d.ahead_ms / 1000 + 0.5) AS clock_seconds,
       floor((date_diff('second', h.at_before, h.arrived_at) + coalesce(d.ahead_ms, 0) / 1000) / 60 * 10 + 0.5) / 10 AS minutes,
       h.person AS person
FROM hops AS h
LEFT JOIN differ AS d ON d.railway = h.railway AND d.box = h.box AND d.train_row = h.train_row
ORDER BY railway, train, here_at, box
