#!/usr/bin/env bash
# Healthy: the server answers on its port with a page that is no error. Bash alone, so that the image needs no other client.
exec 3<>/dev/tcp/127.0.0.1/5080 || exit 1
printf 'GET /health HTTP/1.0\r\nHost: 127.0.0.1\r\n\r\n' >&3
read -r -t 4 _ status _ <&3
[ "$status" = 200 ]
