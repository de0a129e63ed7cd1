/** Constants of nature and of convention; all exact by definition (SI 2019, ISO 80000, NIST SP 811). */

/** Boltzmann constant, J/K, exact (SI 2019). */
export const BOLTZMANN = 1.380649e-23;
/** Avogadro constant, 1/mol, exact (SI 2019). */
export const AVOGADRO = 6.02214076e23;
/** Molar gas constant k N_A, J/(mol K), exact as a product (8.31446261815324). */
export const GAS_CONSTANT = 8.31446261815324;
/** Standard atmosphere, Pa, exact (10th CGPM 1954). */
export const STANDARD_ATMOSPHERE = 101325;
/** Standard acceleration of free fall, m/s2, exact (3rd CGPM 1901). */
export const STANDARD_GRAVITY = 9.80665;
/** 0 degC in K, exact. */
export const ZERO_CELSIUS = 273.15;
/** 20 degC in K: the temperature at which throughputs are stated where nothing else is said (leak testing practice). */
export const ROOM_TEMPERATURE = 293.15;
