package org.cellherd.protocol.bringup;

import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;

/**
 * What makes a cell's voltage of a number: raw x unit + offset.
 *
 * @param code how the number stands
 * @param unitMv mV a unit
 * @param offsetMv mV of the number 0
 */
record CellForm(Code code, double unitMv, double offsetMv) {

  /** Those that boards use most. */
  static final List<CellForm> USUAL = usual();

  /** Ten bits, whose unit only a column that follows their sum tells: 4 to 5 mV reach a cell. */
  static final List<CellForm> COARSE = coarse();

  /** Those that a single value of a meter must confirm. */
  static final List<CellForm> UNUSUAL = unusual();

  private static List<CellForm> usual() {
    List<CellForm> forms = new ArrayList<>();
    for (Code code : Code.CELLS) {
      for (double unit : code.isFloat() ? new double[] {1000} : new double[] {1, 0.1}) {
        forms.add(new CellForm(code, unit, 0));
      }
    }
    return List.copyOf(forms);
  }

  private static List<CellForm> coarse() {
    List<CellForm> forms = new ArrayList<>();
    for (Code code : Code.COARSE_CELLS) {
      for (double unit : new double[] {5, 4, 4.5}) {
        forms.add(new CellForm(code, unit, 0));
      }
    }
    return List.copyOf(forms);
  }

  private static List<CellForm> unusual() {
    List<CellForm> forms = new ArrayList<>();
    List<Code> codes = new ArrayList<>(Code.CELLS);
    codes.addAll(Code.COARSE_CELLS);
    codes.add(new Code("u8", 8, "big"));
    for (double offset : new double[] {0, 500, 1000, 1500, 2000, 2500}) {
      for (Code code : codes) {
        double[] units =
            code.isFloat()
                ? new double[] {1}
                : new double[] {1, 0.05, 0.2, 0.25, 0.5, 1.25, 1.5, 2, 2.5, 4, 5, 10, 20};
        for (double unit : units) {
          forms.add(new CellForm(code, unit, offset));
        }
      }
    }
    return List.copyOf(forms);
  }

  /** The keys of a description's field. */
  String keys() {
    if (unitMv == 1000) {
      return ", unit = \"V\"";
    }
    return (unitMv == 1 ? "" : ", scale = " + plain(unitMv))
        + (offsetMv == 0 ? "" : ", offset = " + plain(offsetMv))
        + ", unit = \"mV\"";
  }

  String words() {
    if (unitMv == 1000) {
      return "V";
    }
    String unit = unitMv == 1 ? "mV" : plain(unitMv) + " mV";
    return offsetMv == 0 ? unit : unit + " above " + plain(offsetMv) + " mV";
  }

  private static String plain(double value) {
    return BigDecimal.valueOf(value).stripTrailingZeros().toPlainString();
  }
}
