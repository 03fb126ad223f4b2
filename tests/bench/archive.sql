-- SPDX-License-Identifier: GPL-3.0-or-later
-- What archive.sh asks: rows of a list, JSON lines of audits, and a folder of debriefs.
.mode csv
.import list.csv dives
CREATE TABLE audits (line TEXT);
.mode ascii
.separator "\037" "\n"
.import audit.jsonl audits
CREATE TABLE debriefs AS SELECT name, CAST(readfile(name) AS TEXT) AS text FROM fsdir('out') WHERE name LIKE '%.json';

.mode table
.print
.print Dives by greatest depth
SELECT 5 * CAST(greatest_depth_m / 5 AS INTEGER) AS from_m, count(*) AS dives, count(DISTINCT file) AS logs,
       round(sum(run_time_s) / 3600.0, 1) AS hours, round(avg(mean_depth_m), 1) AS mean_depth_m
FROM dives WHERE profile = 'yes' GROUP BY from_m ORDER BY from_m;
.print
.print Audits: who reaches what
SELECT json_extract(asked.value, '$.id') AS requirement, json_extract(asked.value, '$.verdict') AS verdict,
       count(*) AS logs, round(avg(json_extract(asked.value, '$.recorded')), 2) AS recorded
FROM audits, json_each(line, '$.requirements') AS asked GROUP BY requirement, verdict;
.print
.print Debriefs: findings
SELECT json_extract(finding.value, '$.kind') AS kind, json_extract(finding.value, '$.severity') AS severity,
       count(*) AS findings, count(DISTINCT name) AS logs
FROM debriefs, json_each(text, '$.dives') AS dive, json_each(dive.value, '$.findings') AS finding
GROUP BY kind, severity ORDER BY findings DESC;
.print
.print Debriefs: time owed at the start of the ascent, and CNS at the end
SELECT count(*) AS dives, round(min(json_extract(dive.value, '$.decompression.owed_s')) / 60) AS least_owed_min,
       round(max(json_extract(dive.value, '$.decompression.owed_s')) / 60) AS greatest_owed_min,
       round(min(json_extract(dive.value, '$.cns_percent.end')), 1) AS least_cns_percent,
       round(max(json_extract(dive.value, '$.cns_percent.end')), 1) AS greatest_cns_percent
FROM debriefs, json_each(text, '$.dives') AS dive;
