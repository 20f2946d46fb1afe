namespace PoeOps.Planning;

/// <summary>Quantiles of the standard normal distribution, by the routine PPND16 of algorithm AS 241 (Applied Statistics 37, 1988): right to about 16 digits.</summary>
internal static class NormalQuantile
{
    // Coefficients of the routine, those of the highest power first.
    private static readonly double[] CentralTop =
    [
        2.5090809287301226727e+3, 3.3430575583588128105e+4, 6.7265770927008700853e+4, 4.5921953931549871457e+4,
        1.3731693765509461125e+4, 1.9715909503065514427e+3, 1.3314166789178437745e+2, 3.3871328727963666080e+0,
    ];
    private static readonly double[] CentralBottom =
    [
        5.2264952788528545610e+3, 2.8729085735721942674e+4, 3.9307895800092710610e+4, 2.1213794301586595867e+4,
        5.3941960214247511077e+3, 6.8718700749205790830e+2, 4.2313330701600911252e+1, 1,
    ];

    private static readonly double[] TailTop =
    [
        7.74545014278341407640e-4, 2.27238449892691845833e-2, 2.41780725177450611770e-1, 1.27045825245236838258e+0,
        3.64784832476320460504e+0, 5.76949722146069140550e+0, 4.63033784615654529590e+0, 1.42343711074968357734e+0,
    ];
    private static readonly double[] TailBottom =
    [
        1.05075007164441684324e-9, 5.47593808499534494600e-4, 1.51986665636164571966e-2, 1.48103976427480074590e-1,
        6.89767334985100004550e-1, 1.67638483018380384940e+0, 2.05319162663775882187e+0, 1,
    ];

    private static readonly double[] FarTailTop =
    [
        2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.24266094738807843860e-3, 2.65321895265761230930e-2,
        2.96560571828504891230e-1, 1.78482653991729133580e+0, 5.46378491116411436990e+0, 6.65790464350110377720e+0,
    ];
    private static readonly double[] FarTailBottom =
    [
        2.04426310338993978564e-15, 1.42151175831644588870e-7, 1.84631831751005468180e-5, 7.86869131145613259100e-4,
        1.48753612908506148525e-2, 1.36929880922735805310e-1, 5.99832206555887937690e-1, 1,
    ];

    /// <summary>The value that a standard normal variable stays beneath with a probability.</summary>
    /// <param name="probability">Above 0 and below 1.</param>
    public static double Of(double probability)
    {
        double middle = probability - 0.5;
        if (Math.Abs(middle) <= 0.425)
        {
            return middle * Ratio(CentralTop, CentralBottom, 0.180625 - (middle * middle));
        }

        double tail = Math.Sqrt(-Math.Log(middle < 0 ? probability : 1 - probability));
        double value = tail <= 5 ? Ratio(TailTop, TailBottom, tail - 1.6) : Ratio(FarTailTop, FarTailBottom, tail - 5);
        return middle < 0 ? -value : value;
    }

    private static double Ratio(double[] top, double[] bottom, double x) => Polynomial(top, x) / Polynomial(bottom, x);

    private static double Polynomial(double[] coefficients, double x)
    {
        double sum = coefficients[0];
        for (int i = 1; i < coefficients.Length; i++)
        {
            sum = (sum * x) + coefficients[i];
        }

        return sum;
    }
}
