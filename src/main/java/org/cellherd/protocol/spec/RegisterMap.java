package org.cellherd.protocol.spec;

import java.util.HashMap;
import java.util.Map;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.frame.Numbers;
import org.cellherd.protocol.modbus.RegisterImage;

/**
 * The registers that a description's messages tell of.
 *
 * @param spec the description
 */
record RegisterMap(Spec spec) implements RegisterImage {

  @Override
  public Map<Integer, Integer> registers(long function, Reading reading) {
    Map<Integer, Integer> registers = new HashMap<>();
    for (Message message : spec.messages()) {
      if (message.code() == function) {
        int start = (int) Numbers.unsigned(message.requestData().array(), 0, 2, false);
        byte[] data = message.body().encode(reading).get(0);
        for (int i = 0; 2 * i + 1 < data.length; i++) {
          registers.put(start + i, (int) Numbers.unsigned(data, 2 * i, 2, false));
        }
      }
    }
    return registers;
  }
}
