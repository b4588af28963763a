package org.cellherd.protocol.spec;

import java.util.List;
import java.util.OptionalDouble;

/**
 * Resistance to temperature of a part with negative coefficient. Open and short sensors, and
 * resistances outside a table, mean "no reading". Immutable.
 */
sealed interface Thermistor {

  /** Kelvin of 0 degC. */
  double ZERO_C = 273.15;

  /** Temperature in degC of a resistance in ohm. */
  OptionalDouble celsius(double ohm);

  /** Resistance in ohm at a temperature in degC. */
  double ohm(double celsius);

  /** A conversion from a number by a scaling to ohm, and from there to 0.1 degC. */
  default Conversion behind(Scaling toOhm) {
    return new Conversion() {
      @Override
      public OptionalDouble toInside(double number) {
        double ohm = toOhm.toInside(number).orElse(0);
        if (!(ohm > 0) || Double.isInfinite(ohm)) {
          return OptionalDouble.empty();
        }
        OptionalDouble celsius = celsius(ohm);
        return celsius.isPresent()
            ? OptionalDouble.of(celsius.getAsDouble() * 10)
            : OptionalDouble.empty();
      }

      @Override
      public double toNumber(double inside) {
        return toOhm.toNumber(ohm(inside / 10));
      }
    };
  }

  /**
   * Behind a divider with a fixed resistor to the supply, the part to ground: R = Rp V / (Vref -
   * V).
   *
   * @param part the part
   * @param pullUpOhm the fixed resistor
   * @param fullScale number that means the supply's voltage
   */
  record Divider(Thermistor part, double pullUpOhm, double fullScale) implements Thermistor {
    @Override
    public OptionalDouble celsius(double number) {
      return number >= fullScale
          ? OptionalDouble.empty()
          : part.celsius(pullUpOhm * number / (fullScale - number));
    }

    @Override
    public double ohm(double celsius) {
      double r = part.ohm(celsius);
      return fullScale * r / (pullUpOhm + r);
    }
  }

  /** The three-term equation 1/T = A + B ln R + C (ln R)^3, T in kelvin (Steinhart and Hart). */
  record SteinhartHart(double a, double b, double c) implements Thermistor {
    @Override
    public OptionalDouble celsius(double ohm) {
      double kelvin = 1 / inverse(Math.log(ohm));
      return kelvin > 150 && kelvin < 600
          ? OptionalDouble.of(kelvin - ZERO_C)
          : OptionalDouble.empty();
    }

    private double inverse(double logOhm) {
      return a + b * logOhm + c * logOhm * logOhm * logOhm;
    }

    @Override
    public double ohm(double celsius) {
      double wanted = 1 / (celsius + ZERO_C);
      double low = -10;
      double high = 25;
      for (int i = 0; i < 80; i++) {
        double middle = (low + high) / 2;
        if (inverse(middle) < wanted) {
          low = middle;
        } else {
          high = middle;
        }
      }
      return Math.exp((low + high) / 2);
    }
  }

  /**
   * A maker's table, first row coldest. Between rows 1/T runs straight over ln R, which follows a
   * real part far better than a straight line in ohm.
   *
   * @param rows pairs of degC and ohm
   */
  record Table(List<Row> rows) implements Thermistor {
    public record Row(double celsius, double ohm) {}

    public Table {
      rows = List.copyOf(rows);
    }

    @Override
    public OptionalDouble celsius(double ohm) {
      if (ohm > rows.get(0).ohm || ohm < rows.get(rows.size() - 1).ohm) {
        return OptionalDouble.empty();
      }
      int i = 1;
      while (i < rows.size() - 1 && ohm < rows.get(i).ohm) {
        i++;
      }
      Row a = rows.get(i - 1);
      Row b = rows.get(i);
      double part = Math.log(a.ohm / ohm) / Math.log(a.ohm / b.ohm);
      double inverse = (1 - part) / (a.celsius + ZERO_C) + part / (b.celsius + ZERO_C);
      return OptionalDouble.of(1 / inverse - ZERO_C);
    }

    @Override
    public double ohm(double celsius) {
      int i = 1;
      while (i < rows.size() - 1 && celsius > rows.get(i).celsius) {
        i++;
      }
      Row a = rows.get(i - 1);
      Row b = rows.get(i);
      double from = 1 / (a.celsius + ZERO_C);
      double part = (from - 1 / (celsius + ZERO_C)) / (from - 1 / (b.celsius + ZERO_C));
      return a.ohm * Math.pow(b.ohm / a.ohm, part);
    }
  }
}
