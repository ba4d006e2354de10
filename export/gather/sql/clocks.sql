-- How the clocks of neighbouring boxes stood to each other, month by month. ahead: by how
-- many seconds the neighbour's clock was, of the stretches of days that the bells of both
-- books were laid side by side; gains: what it gained in a day.
SELECT railway, box, neighbour, CAST(date_trunc('month', day) AS DATE) AS month,
       count(*) AS stretches,
       sum(matched) AS bells,
       floor(min(ahead_seconds) * 10 + 0.5) / 10 AS least_ahead,
       floor(avg(ahead_seconds) * 10 + 0.5) / 10 AS mean_ahead,
       floor(max(ahead_seconds) * 10 + 0.5) / 10 AS most_ahead,
       floor(avg(drift_seconds_per_hour) * 24 * 10 + 0.5) / 10 AS gains
FROM clocks
GROUP BY railway, box, neighbour, month
ORDER BY railway, box, neighbour, month
