-- How far each line of each section was occupied, hour by hour. share: of that hour of
-- the clock over all days on which the box has entries; busiest: of the one with most.
WITH worked AS (
  SELECT railway, box, count(DISTINCT day) AS days FROM entries GROUP BY railway, box
), used AS (
  SELECT railway, box, section, line, day, hour, hour_at, sum(occupied_seconds) AS seconds
  FROM occupation
  GROUP BY railway, box, section, line, day, hour, hour_at
)
SELECT u.railway AS railway, u.box AS box, u.section AS section, u.line AS line, u.hour AS hour,
       floor(sum(u.seconds) / 3600.0 / max(w.days) * 10000 + 0.5) / 10000 AS share,
       floor(max(u.seconds) / 3600.0 * 10000 + 0.5) / 10000 AS busiest
FROM used AS u
JOIN worked AS w ON w.railway = u.railway AND w.box = u.box
GROUP BY u.railway, u.box, u.section, u.line, u.hour
ORDER BY railway, box, section, line, hour
