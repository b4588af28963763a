package org.cellherd.protocol.modbus;

import java.util.Map;
import org.cellherd.pack.Reading;

/** The registers of a device while its pack is as a reading says. */
public interface RegisterImage {

  /** Values 0 to 65535 by address 0 to 65535, for a read function. */
  Map<Integer, Integer> registers(long function, Reading reading);
}
