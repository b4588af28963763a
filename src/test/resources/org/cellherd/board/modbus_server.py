"""A Modbus RTU server made of pymodbus; holding registers from 100 and input registers from 0."""
import sys
import warnings

warnings.simplefilter("ignore")
from pymodbus.datastore import ModbusSequentialDataBlock, ModbusServerContext, ModbusSlaveContext
from pymodbus.server import StartSerialServer
from pymodbus.transaction import ModbusRtuFramer

holding = [int(v) for v in sys.argv[2].split(",")]
inputs = [int(v) for v in sys.argv[3].split(",")]
slave = ModbusSlaveContext(
    hr=ModbusSequentialDataBlock(100, holding),
    ir=ModbusSequentialDataBlock(0, inputs),
    zero_mode=True,
)
context = ModbusServerContext(slaves={5: slave}, single=False)
StartSerialServer(
    context=context, framer=ModbusRtuFramer, port=sys.argv[1], baudrate=9600, timeout=1
)
