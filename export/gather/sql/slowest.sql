-- Who was slowest to explain what was found in his turns. What is no more than advice
-- needs no explanation and is not counted.
SELECT railway, box, person,
       count(explained_by) AS explained,
       count(*) - count(explained_by) AS unexplained,
       floor(avg(date_diff('second', found_at, explained_at)) / 60 * 10 + 0.5) / 10 AS mean_minutes,
       floor(max(date_diff('second', found_at, explained_at)) / 60 * 10 + 0.5) / 10 AS longest_minutes
FROM findings
WHERE answered IS NULL AND severity <> 'advice'
GROUP BY railway, box, person
ORDER BY longest_minutes DESC NULLS LAST, unexplained DESC, railway, box, person
