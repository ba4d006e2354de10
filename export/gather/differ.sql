known AS (
  SELECT railway, box, neighbour, box AS clock_of, day, from_at, to_at, ahead_seconds AS ahead, drift_seconds_per_hour AS drift FROM clocks
  UNION ALL
  SELECT railway, neighbour, box, box, day, from_at, to_at, -ahead_seconds, -drift_seconds_per_hour FROM clocks
), placed AS (
  SELECT h.railway AS railway, h.box AS box, h.train_row AS train_row, k.ahead AS ahead, k.drift AS drift, k.from_at AS from_at, k.to_at AS to_at,
         CASE WHEN k.clock_of = h.box THEN h.at_here ELSE h.at_before END AS moment
  FROM hops AS h
  JOIN known AS k ON k.railway = h.railway AND k.box = h.box AND k.neighbour = h.before_box AND k.day = h.day
), differ AS (
  SELECT railway, box, train_row,
         argMin(floor((ahead + drift * (date_diff('second', from_at, moment) - date_diff('second', from_at, to_at) / 2.0) / 3600) * 1000 + 0.5),
                greatest(0, date_diff('second', moment, from_at), date_diff('second', to_at, moment))) AS ahead_ms
  FROM placed
  WHERE moment IS NOT NULL
  GROUP BY railway, box, train_row
)
