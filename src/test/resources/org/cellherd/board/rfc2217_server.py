"""An RFC 2217 server for one client, made of pyserial's own server side."""
import socket
import sys
import threading

import serial
import serial.rfc2217

port = serial.serial_for_url(sys.argv[1], timeout=0.05)
listener = socket.socket()
listener.bind(("127.0.0.1", 0))
listener.listen(1)
print(listener.getsockname()[1], flush=True)
client, _ = listener.accept()


class Writer:
    def write(self, data):
        client.sendall(data)


manager = serial.rfc2217.PortManager(port, Writer())
# A pseudo-terminal has no modem lines to ask for.
manager.check_modem_lines = lambda force_notification=False: None


def from_port():
    while True:
        data = port.read(port.in_waiting or 1)
        if data:
            client.sendall(b"".join(manager.escape(data)))


threading.Thread(target=from_port, daemon=True).start()
while True:
    data = client.recv(1024)
    if not data:
        break
    port.write(b"".join(manager.filter(data)))
print(port.baudrate, port.parity, port.stopbits, flush=True)
