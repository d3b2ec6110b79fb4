//! Customary units and their metric partners, for readers who switch the whole page to metric units.

use super::Unit;

/// UCUM codes: the customary unit, and the metric one in which readers expect the same figure.
const PARTNERS: [(&str, &str); 20] = [
    ("[in_i]", "mm"),
    ("[ft_i]", "m"),
    ("[sin_i]", "mm2"),
    ("[sft_i]", "m2"),
    ("[cft_i]", "m3"),
    ("100.[cft_i]", "m3"),
    ("[ft_i]/min", "m/s"),
    ("[cft_i]/min", "m3/h"),
    ("[cft_i]/h", "m3/h"),
    ("[gal_us]", "L"),
    ("[gal_us]/min", "L/min"),
    ("[gal_us]/h", "L/h"),
    ("[degF]", "Cel"),
    ("[degR]", "K"),
    ("[Btu_IT]", "MJ"),
    ("[Btu_IT]/h", "kW"),
    ("[Btu_IT]/[cft_i]", "MJ/m3"),
    ("[in_i'H2O]", "Pa"),
    ("[psi]", "kPa"),
    ("[lbf_av]", "N"),
];

impl Unit {
    /// Whether the unit is one of those that the trade uses in the United States. UCUM writes them in brackets, and also
    /// some that belong to no country.
    pub fn is_customary(&self) -> bool {
        let code = self.ucum();
        code.contains('[') && !["[pp", "m[H2O]", "[pH]"].iter().any(|other| code.contains(other))
    }

    /// The metric unit in which a figure of this customary unit is shown to those who want metric units.
    pub fn metric(&self) -> Option<Unit> {
        let (_, metric) = PARTNERS.iter().find(|(customary, _)| *customary == self.ucum())?;
        Unit::parse(metric).ok()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn partners_measure_the_same() {
        for (customary, metric) in PARTNERS {
            let (customary, metric) = (Unit::parse(customary).unwrap(), Unit::parse(metric).unwrap());
            assert!(customary.is_customary() && !metric.is_customary() && customary.fits(&metric), "{}", customary.ucum());
            assert_eq!(customary.metric(), Some(metric));
        }
        assert!(!Unit::parse("[ppm]").unwrap().is_customary());
    }
}
