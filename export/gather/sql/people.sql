-- Figures by person over all boxes. Findings that follow from another are not counted:
-- one slip must not look like ten. late: written more than a minute after it happened.
-- A rate of few trains tells little: see fairhand audit for what chance may bring.
SELECT person,
       sum(turn) AS turns, sum(entry) AS entries, sum(late) AS late, sum(correction) AS corrections, sum(train) AS trains,
       sum(danger) AS dangers, sum(irregular) AS irregular, sum(advice) AS advice, sum(unexplained) AS unexplained,
       CASE WHEN sum(train) > 0 THEN floor(1000.0 * sum(danger) / sum(train) * 10 + 0.5) / 10 END AS dangers_per_thousand_trains
FROM (
  SELECT person, 1 AS turn, 0 AS entry, 0 AS late, 0 AS correction, 0 AS train, 0 AS danger, 0 AS irregular, 0 AS advice, 0 AS unexplained
  FROM turns
  UNION ALL
  SELECT person, 0, 1, CASE WHEN late_seconds > 60 THEN 1 ELSE 0 END, CASE WHEN kind = 'correct' THEN 1 ELSE 0 END, 0, 0, 0, 0, 0
  FROM entries
  UNION ALL
  SELECT person, 0, 0, 0, 0, 1, 0, 0, 0, 0
  FROM trains
  UNION ALL
  SELECT person, 0, 0, 0, 0, 0, CASE WHEN severity = 'danger' THEN 1 ELSE 0 END, CASE WHEN severity = 'irregular' THEN 1 ELSE 0 END,
         CASE WHEN severity = 'advice' THEN 1 ELSE 0 END, CASE WHEN explained_by IS NULL THEN 1 ELSE 0 END
  FROM findings
  WHERE answered IS NULL AND root IS NULL
) AS counted
GROUP BY person
ORDER BY dangers_per_thousand_trains DESC NULLS LAST, person
