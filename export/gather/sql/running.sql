-- Running times between any two boxes. From leaving the one to arriving at the other or
-- passing it, after what the clock of each box that it passed was ahead of that before, by
-- the bells that both books have; where those tell nothing, by the clocks as they stood. A
-- train is followed by its name; what is not booked anywhere for an hour is another train
-- of that name.
WITH seen AS (
  SELECT railway, box, train, train_row, day, class, arrived_at, coalesce(departed_at, out_entered_at) AS left_at,
         coalesce(arrived_at, departed_at, out_entered_at, in_entered_at, opened_at) AS here_at
  FROM trains
  WHERE named
), hops AS (
  SELECT *, here_at AS at_here, min(here_at) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN 1 PRECEDING AND 1 PRECEDING) AS at_before,
         min(box) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN 1 PRECEDING AND 1 PRECEDING) AS before_box
  FROM seen
), {{differ}}, parted AS (
  SELECT h.railway AS railway, h.train AS train, h.box AS box, h.class AS class, h.arrived_at AS arrived_at, h.left_at AS left_at, h.here_at AS here_at,
         CASE WHEN date_diff('second', h.at_before, h.here_at) <= 3600 THEN 0 ELSE 1 END AS begins,
         coalesce(d.ahead_ms, 0) AS ahead_ms
  FROM hops AS h
  LEFT JOIN differ AS d ON d.railway = h.railway AND d.box = h.box AND d.train_row = h.train_row
), journeys AS (
  SELECT *, sum(begins) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW) AS journey,
         sum(ahead_ms) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW) AS behind_ms
  FROM parted
), runs AS (
  SELECT a.railway AS railway, a.box AS from_box, b.box AS to_box, a.class AS class, floor(date_diff('second', a.left_at, b.arrived_at) + (b.behind_ms - a.behind_ms) / 1000 + 0.5) AS seconds
  FROM journeys AS a
  JOIN journeys AS b ON a.railway = b.railway AND a.train = b.train AND a.journey = b.journey
  WHERE a.box <> b.box AND a.here_at < b.here_at
)
SELECT railway, from_box, to_box, class,
       count(*) AS times,
       min(seconds) AS least_seconds,
       floor(avg(seconds) * 10 + 0.5) / 10 AS mean_seconds,
       max(seconds) AS most_seconds
FROM runs
WHERE seconds > 0
GROUP BY railway, from_box, to_box, class
ORDER BY railway, from_box, to_box, class
