package org.cellherd.protocol.sunspec;

/**
 * The points read from each model, as the published model files place them: offset in registers
 * from the model's ID register, and offset of the scale factor.
 */
enum Point {
  MN(1, "Mn", 2, Type.STRING, 16, -1),
  MD(1, "Md", 18, Type.STRING, 16, -1),
  VR(1, "Vr", 42, Type.STRING, 8, -1),
  SN(1, "SN", 50, Type.STRING, 16, -1),

  AH_RATING(802, "AHRtg", 2, Type.UINT16, 1, 52),
  SOC(802, "SoC", 11, Type.UINT16, 1, 56),
  SOH(802, "SoH", 13, Type.UINT16, 1, 58),
  CYCLES(802, "NCyc", 14, Type.UINT32, 2, -1),
  CHARGE_STATUS(802, "ChaSt", 16, Type.ENUM16, 1, -1),
  STATE(802, "State", 22, Type.ENUM16, 1, -1),
  EVENT1(802, "Evt1", 26, Type.BITFIELD32, 2, -1),
  VOLTAGE(802, "V", 34, Type.UINT16, 1, 59),
  CURRENT(802, "A", 44, Type.INT16, 1, 61),

  BANK_TEMP_MAX(803, "ModTmpMax", 4, Type.INT16, 1, 23),
  BANK_TEMP_MIN(803, "ModTmpMin", 7, Type.INT16, 1, 23),
  BANK_CELLS_BALANCING(803, "NCellBal", 21, Type.UINT16, 1, -1),

  STRING_SOC(804, "SoC", 8, Type.UINT16, 1, 38),
  STRING_CURRENT(804, "A", 13, Type.INT16, 1, 41),
  STRING_VOLTAGE(804, "V", 14, Type.UINT16, 1, 42),
  STRING_EVENT1(804, "Evt1", 28, Type.BITFIELD32, 2, -1),

  CELL_COUNT(805, "NCell", 4, Type.UINT16, 1, -1),
  MODULE_SOC(805, "SoC", 5, Type.UINT16, 1, 38),
  MODULE_VOLTAGE(805, "V", 10, Type.UINT16, 1, 41),
  MODULE_SERIAL(805, "SN", 22, Type.STRING, 16, -1);

  enum Type {
    UINT16,
    INT16,
    UINT32,
    ENUM16,
    BITFIELD32,
    STRING
  }

  /** Registers of model 805 before its cells, ID and length included. */
  static final int MODULE_HEADER = 44;

  /** Registers of one cell: voltage, temperature, status of two. */
  static final int CELL_REGISTERS = 4;

  /** Registers of model 803 before its strings, ID and length included. */
  static final int BANK_HEADER = 28;

  /** Registers of one string in model 803, and the places of its values in there. */
  static final int STRING_REGISTERS = 32;

  static final int BLOCK_SOC = 4;
  static final int BLOCK_CURRENT = 6;
  static final int BLOCK_CURRENT_SCALE = 24;
  static final int BLOCK_SOC_SCALE = 26;

  static final int CELL_VOLTAGE_SCALE = 42;
  static final int CELL_TEMPERATURE_SCALE = 43;

  private final int model;
  private final String published;
  private final int offset;
  private final Type type;
  private final int registers;
  private final int scaleOffset;

  Point(int model, String published, int offset, Type type, int registers, int scaleOffset) {
    this.model = model;
    this.published = published;
    this.offset = offset;
    this.type = type;
    this.registers = registers;
    this.scaleOffset = scaleOffset;
  }

  int model() {
    return model;
  }

  /** Name in the model file. */
  String published() {
    return published;
  }

  int offset() {
    return offset;
  }

  Type type() {
    return type;
  }

  int registers() {
    return registers;
  }

  int scaleOffset() {
    return scaleOffset;
  }
}
