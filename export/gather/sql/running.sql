-- Running times between any two boxes. From leaving the one to arriving at the other or
-- passing it, by the clocks of the two boxes as they stood. A train is followed by its
-- name; what is not booked anywhere for an hour is another train of that name.
WITH seen AS (
  SELECT railway, box, train, class, arrived_at, coalesce(departed_at, out_entered_at) AS left_at,
         coalesce(arrived_at, departed_at, out_entered_at, in_entered_at, opened_at) AS here_at
  FROM trains
  WHERE named
), parted AS (
  SELECT *, CASE WHEN date_diff('second', min(here_at) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN 1 PRECEDING AND 1 PRECEDING), here_at) <= 3600
                 THEN 0 ELSE 1 END AS begins
  FROM seen
), journeys AS (
  SELECT *, sum(begins) OVER (PARTITION BY railway, train ORDER BY here_at, box ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW) AS journey
  FROM parted
)
SELECT a.railway AS railway, a.box AS from_box, b.box AS to_box, a.class AS class,
       count(*) AS times,
       min(date_diff('second', a.left_at, b.arrived_at)) AS least_seconds,
       floor(avg(date_diff('second', a.left_at, b.arrived_at)) * 10 + 0.5) / 10 AS mean_seconds,
       max(date_diff('second', a.left_at, b.arrived_at)) AS most_seconds
FROM journeys AS a
JOIN journeys AS b ON a.railway = b.railway AND a.train = b.train AND a.journey = b.journey
WHERE a.box <> b.box AND a.left_at < b.arrived_at
GROUP BY a.railway, a.box, b.box, a.class
ORDER BY railway, from_box, to_box, class
