"""A Modbus TCP server made of pymodbus: PORT UNIT CSV, where a line of CSV is address,hex,name."""
import csv
import sys
import warnings

warnings.simplefilter("ignore")
from pymodbus.datastore import ModbusServerContext, ModbusSlaveContext, ModbusSparseDataBlock
from pymodbus.server import StartTcpServer

with open(sys.argv[3], newline="") as file:
    rows = list(csv.reader(file))[1:]
registers = {int(row[0]): int(row[1], 16) for row in rows}
slave = ModbusSlaveContext(hr=ModbusSparseDataBlock(registers), zero_mode=True)
context = ModbusServerContext(slaves={int(sys.argv[2]): slave}, single=False)
StartTcpServer(context=context, address=("127.0.0.1", int(sys.argv[1])))
